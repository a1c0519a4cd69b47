/* This start of the board: why, and its number. */
#pragma once
#include <stdint.h>

char boot_reset_cause(void);
/* Another one at each start, from a counter that is kept over power-off. */
uint32_t boot_id(void);
