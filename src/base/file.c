#include "base/file.h"
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum
{
	MOST_FILES = 1000
};

// a failed call in the skipper's words
static dk_status failed(dk_error *error, const char *path, const char *doing)
{
	const int number = errno;
	dk_status status = DK_FILE_FAILED;
	const char *why = strerror(number);
	if (number == ENOENT || number == ENOTDIR) status = DK_NO_FILE, why = "there is no such file or folder";
	if (number == EACCES || number == EPERM || number == EROFS)
		status = DK_NO_PERMISSION, why = "there is no permission";
	if (number == ENOSPC || number == EDQUOT) why = "the disk is full";
	dk_error_set(error, status, "cannot %s: %s", doing, why);
	dk_error_at(error, path, 0, 0);
	return status;
}

// reads until the end or one byte past the limit; -1 on an error
static ssize_t read_all(int fd, char *bytes, size_t room)
{
	size_t have = 0;
	while (have < room)
	{
		const ssize_t n = read(fd, bytes + have, room - have);
		if (n < 0 && errno == EINTR) continue;
		if (n < 0) return -1;
		if (n == 0) break;
		have += (size_t)n;
	}
	return (ssize_t)have;
}

static dk_status too_large(dk_error *error, const char *path, size_t limit)
{
	dk_error_set(error, DK_TOO_LARGE, "the file is larger than %zu kB", limit / 1024);
	dk_error_at(error, path, 0, 0);
	return DK_TOO_LARGE;
}

dk_status dk_file_read(
    const char *path, size_t limit, dk_arena *arena, char **bytes, size_t *size, dk_error *error)
{
	const int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
	if (fd < 0) return failed(error, path, "read");
	struct stat about;
	if (fstat(fd, &about) || !S_ISREG(about.st_mode))
	{
		close(fd);
		dk_error_set(error, DK_FILE_FAILED, "this is no plain file");
		dk_error_at(error, path, 0, 0);
		return DK_FILE_FAILED;
	}
	if ((unsigned long long)about.st_size > limit)
	{
		close(fd);
		return too_large(error, path, limit);
	}

	// one byte more than the size tells when the file grew meanwhile
	const size_t room = (size_t)about.st_size + 1;
	char *memory = dk_arena_take(arena, room + 1);
	const ssize_t have = read_all(fd, memory, room);
	const dk_status status = have < 0 ? failed(error, path, "read") : DK_OK;
	close(fd);
	if (status != DK_OK) return status;
	if ((size_t)have > limit) return too_large(error, path, limit);
	memory[have] = 0;
	*bytes = memory;
	*size = (size_t)have;
	return DK_OK;
}

static bool write_all(int fd, const char *bytes, size_t size)
{
	while (size)
	{
		const ssize_t n = write(fd, bytes, size);
		if (n < 0 && errno == EINTR) continue;
		if (n <= 0) return false;
		bytes += n, size -= (size_t)n;
	}
	return true;
}

// the new name is on disk only when the folder is
static void sync_folder(const char *path)
{
	char folder[4096];
	const char *slash = strrchr(path, '/');
	const size_t length = slash ? (size_t)(slash - path) : 0;
	if (length >= sizeof folder) return;
	memcpy(folder, path, length);
	folder[length] = 0;
	const int fd = open(!slash ? "." : length ? folder : "/", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
	if (fd < 0) return;
	fsync(fd);
	close(fd);
}

dk_status dk_file_write(const char *path, const void *bytes, size_t size, dk_error *error)
{
	char temporary[4096];
	const int length = snprintf(temporary, sizeof temporary, "%s.XXXXXX", path);
	if (length < 0 || (size_t)length >= sizeof temporary)
	{
		errno = ENAMETOOLONG;
		return failed(error, path, "write");
	}
	const int fd = mkostemp(temporary, O_CLOEXEC);
	if (fd < 0) return failed(error, path, "write");
	const mode_t mask = umask(0);
	umask(mask);
	bool good = !fchmod(fd, 0666 & ~mask) && write_all(fd, bytes, size) && !fsync(fd);
	int number = errno;
	if (close(fd) && good) good = false, number = errno;
	if (good && rename(temporary, path)) good = false, number = errno;
	if (good)
	{
		sync_folder(path);
		return DK_OK;
	}
	unlink(temporary);
	errno = number;
	return failed(error, path, "write");
}

static int by_bytes(const void *a, const void *b)
{
	return strcmp(*(char *const *)a, *(char *const *)b);
}

static bool ends_in(const char *name, const char *suffix)
{
	const size_t n = strlen(name), m = strlen(suffix);
	return n >= m && !strcmp(name + n - m, suffix);
}

dk_status dk_file_list(
    const char *folder, const char *suffix, dk_arena *arena, char ***paths, int *count, dk_error *error)
{
	DIR *directory = opendir(folder);
	if (!directory) return failed(error, folder, "read the folder");
	char **list = dk_arena_array(arena, MOST_FILES, sizeof *list);
	int n = 0;
	for (const struct dirent *entry; n < MOST_FILES && (entry = readdir(directory));)
	{
		if (entry->d_name[0] == '.' || !ends_in(entry->d_name, suffix)) continue;
		list[n++] = dk_arena_format(arena, "%s/%s", folder, entry->d_name);
	}
	closedir(directory);
	qsort(list, (size_t)n, sizeof *list, by_bytes);
	*paths = list;
	*count = n;
	return DK_OK;
}
