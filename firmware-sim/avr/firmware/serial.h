/* The serial line: received bytes by interrupt, sent ones when the main loop finds the register empty. Sending by interrupt
 * would put its latency before that of the edges. */
#pragma once
#include "ticks.h"

void serial_start(void);

typedef struct {
  char text[HOST_LINE_MAX + 1]; /* without its line feed */
  uint8_t length;
  bool too_long;
  ticks_t at; /* when its line feed arrived */
} host_line_t;

/* The next whole line, or NULL; valid until the next call. */
const host_line_t *serial_line(void);

static inline bool serial_can_send(void) { return UCSR0A & _BV(UDRE0); }
void serial_send(uint8_t byte);
/* Nothing is left on its way: a byte that is sent now starts at once. */
bool serial_is_idle(void);
