#pragma once
// The commands that serve the page.
#include "cli/arguments.h"

int dk_page_serve(dk_arguments *arguments);
int dk_page_demo(dk_arguments *arguments);
