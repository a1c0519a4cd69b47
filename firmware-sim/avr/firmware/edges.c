#include "edges.h"
#include <avr/interrupt.h>
#include <util/atomic.h>

/* A ring in the order of capture: first the numbered, then those that wait for their turn. */
static edge_t ring[EDGES_MAX];
static volatile uint8_t oldest, count, numbered;
/* Of this start. The interrupts count into the small ones, which the main loop gathers: each of their cycles is one in
 * which a further edge waits. */
static volatile uint32_t captured, lost;
static volatile uint16_t fresh_captured, fresh_lost;
static volatile uint8_t gate_levels, trigger_active;

/* What the short front of a capture interrupt leaves for its body. */
static volatile uint16_t front_at __asm__("front_at") __attribute__((used));
static volatile uint8_t front_flags __asm__("front_flags") __attribute__((used));
static volatile uint8_t front_pins __asm__("front_pins") __attribute__((used));

static void add_to(volatile uint32_t *counter, uint16_t more) {
  uint32_t next = *counter + more;
  *counter = next < *counter ? UINT32_MAX : next;
}

void edges_gather(void) {
  if (!fresh_captured) return;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    add_to(&captured, fresh_captured);
    add_to(&lost, fresh_lost);
    fresh_captured = fresh_lost = 0;
  }
}

static inline __attribute__((always_inline)) void lose(uint8_t edges) {
  fresh_captured += edges;
  fresh_lost += edges;
}

static inline __attribute__((always_inline)) void keep(uint8_t what, uint16_t low, uint32_t high) {
  uint8_t kept = count;
  fresh_captured++;
  if (kept >= EDGES_MAX) {
    fresh_lost++;
    return;
  }
  edge_t *edge = &ring[(oldest + kept) & (EDGES_MAX - 1)];
  edge->at.low = low;
  edge->at.high = high;
  edge->what = what;
  count = kept + 1;
}

static inline bool is_single(uint8_t bits) { return bits && !(bits & (bits - 1)); }

/* Of a capture unit's two gates: the bit of the first is the lower. */
static inline uint8_t input_of(uint8_t bit, uint8_t gates) {
  uint8_t first = gates == GATES_ODD ? 1 : 2;
  return bit == _BV(first - 1) ? first : first + 2;
}

static inline bool is_odd(uint8_t bits) {
  bits ^= bits >> 2;
  return (bits ^ (bits >> 1)) & 1;
}

/* The front of both capture interrupts, in assembler because each of its cycles is one in which a second edge cannot be
 * told from the first: stamp, arm the other polarity, drop what the arming itself may have raised, and only then look at
 * which gates have moved. An edge after the look is captured by itself. */
#define CAPTURE_FRONT(vector, icr, tccrb, tifr, ices, icf, mask, body)                                   \
  ISR(vector, ISR_NAKED) {                                                                         \
    __asm__ volatile("push r24\n\tin r24, __SREG__\n\tpush r24\n\tpush r25\n\t"                    \
                     "lds r24, %[at]\n\tlds r25, %[at]+1\n\t"                                      \
                     "sts front_at, r24\n\tsts front_at+1, r25\n\t"                                \
                     "lds r24, %[control]\n\tldi r25, %[edge]\n\teor r24, r25\n\tsts %[control], r24\n\t" \
                     "ldi r24, %[flag]\n\tout %[flags], r24\n\t"                                   \
                     "in r24, %[eifr]\n\tandi r24, %[gates]\n\tin r25, %[pins]\n\tout %[eifr], r24\n\t" \
                     "sts front_flags, r24\n\tsts front_pins, r25\n\t"                             \
                     "pop r25\n\tpop r24\n\tout __SREG__, r24\n\tpop r24\n\t"                      \
                     "jmp " body "\n\t"                                                            \
                     :                                                                             \
                     : [at] "n"(_SFR_MEM_ADDR(icr)), [control] "n"(_SFR_MEM_ADDR(tccrb)), [edge] "n"(_BV(ices)), \
                       [flag] "n"(_BV(icf)), [flags] "I"(_SFR_IO_ADDR(tifr)), [eifr] "I"(_SFR_IO_ADDR(EIFR)), \
                       [pins] "I"(_SFR_IO_ADDR(GATE_PINS)), [gates] "n"(mask));                                        \
  }

CAPTURE_FRONT(TIMER4_CAPT_vect, ICR4, TCCR4B, TIFR4, ICES4, ICF4, GATES_ODD, "__vector_odd_captured")
CAPTURE_FRONT(TIMER5_CAPT_vect, ICR5, TCCR5B, TIFR5, ICES5, ICF5, GATES_EVEN, "__vector_even_captured")

/* Arms the unit for the next change, whatever happened; returns how many edges went by uncaptured meanwhile.
 * A level that is read again unchanged, after longer than the capture unit's own delay, means that nothing is on its way.
 * @param unflagged  gates seen to have moved whose flag had not been raised yet */
static inline uint8_t settle(uint8_t gates, uint8_t levels, uint8_t unflagged, volatile uint8_t *control, volatile uint8_t *tifr) {
  uint8_t passed = 0;
  for (;;) {
    if (is_odd(levels & gates)) *control &= ~_BV(ICES5);
    else *control |= _BV(ICES5);
    __asm__ volatile("nop\n\tnop\n\tnop\n\tnop\n\tnop\n\t");
    uint8_t flags = EIFR & gates;
    EIFR = flags;
    *tifr = _BV(ICF5);
    uint8_t next = GATE_PINS & gates;
    uint8_t moved = next ^ levels;
    uint8_t pulsed = flags & ~moved & ~unflagged;
    if (!moved && !flags) break;
    for (uint8_t bit = 1; bit <= GATES_ALL; bit <<= 1) {
      if (moved & bit) passed++;
      else if (pulsed & bit) passed += 2;
    }
    unflagged = moved & ~flags;
    levels = next;
  }
  gate_levels = (gate_levels & ~gates) | levels;
  return passed;
}

/* More than one edge fell into the front, or something was captured of which nothing is to be seen. What cannot be told
 * apart is counted as lost, never guessed at. */
static __attribute__((noinline)) void judge_many(uint8_t gates, uint8_t levels, uint8_t moved, uint16_t low, uint32_t high) {
  uint8_t flags = front_flags;
  uint8_t seen = flags | moved;
  /* There and back at least, where nothing is to be seen. */
  uint8_t uncaptured = seen ? 0 : 2;
  if (is_single(seen)) {
    /* There and back on one gate: the first of the two is the one that was captured. */
    keep(input_of(seen, gates) | (levels & seen ? 0 : EDGE_ACTIVE) | EDGE_HARDWARE, low, high);
    uncaptured = 1;
  } else {
    for (uint8_t bit = 1; bit <= GATES_ALL; bit <<= 1) {
      if (moved & bit) uncaptured++;
      else if (seen & bit) uncaptured += 2;
    }
  }
  if (gates == GATES_ODD) uncaptured += settle(gates, levels, moved & ~flags, &TCCR4B, &TIFR4);
  else uncaptured += settle(gates, levels, moved & ~flags, &TCCR5B, &TIFR5);
  lose(uncaptured);
}

/* One capture, and what is known of the gates behind it. Exactly one gate moved once: that is the edge. */
static inline __attribute__((always_inline)) void judge(uint8_t gates) {
  uint16_t now = TCNT5;
  uint16_t low = front_at;
  uint32_t high = ticks_overflows;
  /* As ticks_now_in_isr has it; then back to the moment, less than one turn of the timer ago, at which the count was low. */
  if ((TIFR5 & _BV(TOV5)) && !(now & 0x8000)) high++;
  if (low > now) high--;
  uint8_t levels = front_pins & gates;
  uint8_t before = gate_levels;
  uint8_t moved = levels ^ (before & gates);
  if (!is_single(moved) || (front_flags & ~moved)) {
    judge_many(gates, levels, moved, low, high);
    return;
  }
  gate_levels = before ^ moved;
  keep(input_of(moved, gates) | (levels & moved ? EDGE_ACTIVE : 0) | EDGE_HARDWARE, low, high);
}

__attribute__((signal, used)) void __vector_odd_captured(void) { judge(GATES_ODD); }
__attribute__((signal, used)) void __vector_even_captured(void) { judge(GATES_EVEN); }

/* The trigger needs no better than a few microseconds: it opens a shot, it times nothing. */
ISR(INT4_vect) {
  ticks_t at = ticks_now_in_isr();
  uint8_t active = TRIGGER_PINS & _BV(TRIGGER_BIT) ? 0 : 1;
  if (active == trigger_active) {
    /* There and back before the look. The way back has raised the flag again: it is counted here, and not once more. */
    EIFR = _BV(INTF4);
    lose(2);
    return;
  }
  trigger_active = active;
  keep(active ? EDGE_ACTIVE : 0, at.low, at.high);
}

void edges_start(void) {
  GATE_PULLUPS |= GATES_ALL;
  TRIGGER_PULLUPS |= _BV(TRIGGER_BIT);
  EICRA = _BV(ISC00) | _BV(ISC10) | _BV(ISC20) | _BV(ISC30); /* any edge: for the flags alone */
  EICRB = _BV(ISC40);
  EIFR = GATES_ALL | _BV(INTF4);
  trigger_active = TRIGGER_PINS & _BV(TRIGGER_BIT) ? 0 : 1;
  EIMSK = _BV(INT4);
  settle(GATES_ODD, GATE_PINS & GATES_ODD, 0, &TCCR4B, &TIFR4);
  settle(GATES_EVEN, GATE_PINS & GATES_EVEN, 0, &TCCR5B, &TIFR5);
}

edge_counts_t edges_counts(void) {
  edge_counts_t now;
  edges_gather();
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    now.captured = captured;
    now.lost = lost;
    now.held = count;
    now.active = ((uint16_t)gate_levels << 1) | trigger_active;
  }
  return now;
}

bool edges_waiting(void) { return numbered < count; }
bool edges_empty(void) { return count == 0; }

const edge_t *edges_number_next(uint32_t seq) {
  if (numbered >= count) return 0;
  edge_t *edge = &ring[(oldest + numbered) & (EDGES_MAX - 1)];
  edge->seq = seq;
  numbered++;
  return edge;
}

const edge_t *edges_numbered(uint8_t i) { return i < numbered ? &ring[(oldest + i) & (EDGES_MAX - 1)] : 0; }

void edges_release(uint32_t up_to_seq) {
  while (numbered && ring[oldest].seq <= up_to_seq) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
      oldest = (oldest + 1) & (EDGES_MAX - 1);
      count--;
      numbered--;
    }
  }
}
