#include "ticks.h"
#include <avr/interrupt.h>

volatile uint32_t ticks_overflows;

ISR(TIMER5_OVF_vect) { ticks_overflows++; }

void ticks_start(void) {
  /* Which edge each capture unit waits for was set before (edges_start); here only the clock is let in. Each store takes
   * two cycles, so a timer that starts later is given the counts that it will have missed. */
  uint8_t five = TCCR5B | _BV(CS50);
  uint8_t four = TCCR4B | _BV(CS40);
  uint8_t one = _BV(WGM12) | _BV(CS10);
  TCNT5 = 0;
  TCNT4 = 2;
  TCNT1 = 4;
  OCR1A = CONVERSION_TICKS - 1;
  OCR1B = CONVERSION_TICKS - 1;
  TIMSK5 = _BV(TOIE5) | _BV(ICIE5);
  TIMSK4 = _BV(ICIE4);
  __asm__ volatile("sts %[b5], %[v5]\n\t"
                   "sts %[b4], %[v4]\n\t"
                   "sts %[b1], %[v1]\n\t"
                   :
                   : [b5] "n"(_SFR_MEM_ADDR(TCCR5B)), [b4] "n"(_SFR_MEM_ADDR(TCCR4B)), [b1] "n"(_SFR_MEM_ADDR(TCCR1B)),
                     [v5] "r"(five), [v4] "r"(four), [v1] "r"(one)
                   : "memory");
}
