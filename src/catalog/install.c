#include "catalog/install.h"
#include <string.h>

const dk_install_row dk_install_info[DK_INSTALL_COUNT] = {
#define X(id, question) { #id, question, { DK_ANSWERS_##id, NULL } },
	DK_INSTALL_LIST(X)
#undef X
};

int dk_install_find(const char *question)
{
	for (int i = 0; i < DK_INSTALL_COUNT; ++i)
		if (!strcmp(question, dk_install_info[i].id)) return i;
	return -1;
}

int dk_install_answer_find(int question, const char *answer)
{
	const dk_install_row *row = &dk_install_info[question];
	for (int i = 0; i < DK_INSTALL_ANSWERS && row->answer[i]; ++i)
		if (!strcmp(answer, row->answer[i])) return i;
	return -1;
}

dk_installation dk_default_installation(void)
{
	return (dk_installation){ .answer = { 0 } };
}
