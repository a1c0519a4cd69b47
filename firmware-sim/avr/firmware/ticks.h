/* The board's one clock: timer 5, counting every cycle of 16 MHz, extended to 48 bits by its overflows.
 * Timers 4 (capture) and 1 (sampling) run in step with it, count for count. */
#pragma once
#include "board.h"
#include <util/atomic.h>

typedef struct {
  uint16_t low;
  uint32_t high;
} ticks_t;

extern volatile uint32_t ticks_overflows;

/* Starts all three timers at one and the same count. */
void ticks_start(void);

/* With interrupts off. An overflow that has happened and has not been served yet is counted here. */
static inline ticks_t ticks_now_in_isr(void) {
  ticks_t now;
  now.low = TCNT5;
  now.high = ticks_overflows;
  if ((TIFR5 & _BV(TOV5)) && !(now.low & 0x8000)) now.high++;
  return now;
}

static inline ticks_t ticks_now(void) {
  ticks_t now;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) { now = ticks_now_in_isr(); }
  return now;
}

static inline bool ticks_reached(ticks_t now, ticks_t then) {
  return now.high != then.high ? now.high > then.high : now.low >= then.low;
}

static inline ticks_t ticks_plus(ticks_t at, uint32_t more) {
  uint32_t low = at.low + (more & 0xFFFF);
  at.low = (uint16_t)low;
  at.high += (more >> 16) + (low >> 16);
  return at;
}
