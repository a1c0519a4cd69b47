#include "edges.h"
#include <avr/interrupt.h>
#include <util/atomic.h>

/* A ring in the order of capture: first the numbered, then those that wait for their turn. */
static edge_t ring[EDGES_MAX];
static volatile uint8_t oldest, count, numbered;
static volatile uint32_t captured, lost;
static volatile uint8_t gate_levels, trigger_active;

/* What the short front of a capture interrupt leaves for its body. */
static volatile uint16_t front_at __asm__("front_at") __attribute__((used));
static volatile uint8_t front_flags __asm__("front_flags") __attribute__((used));
static volatile uint8_t front_pins __asm__("front_pins") __attribute__((used));

static void add_to(volatile uint32_t *counter, uint8_t more) {
  uint32_t next = *counter + more;
  *counter = next < *counter ? UINT32_MAX : next;
}

static void lose(uint8_t edges) {
  add_to(&captured, edges);
  add_to(&lost, edges);
}

static void keep(uint8_t what, ticks_t at) {
  add_to(&captured, 1);
  if (count >= EDGES_MAX) {
    add_to(&lost, 1);
    return;
  }
  edge_t *edge = &ring[(oldest + count) & (EDGES_MAX - 1)];
  edge->at = at;
  edge->what = what;
  count++;
}

static inline bool is_single(uint8_t bits) { return bits && !(bits & (bits - 1)); }

static uint8_t input_of(uint8_t bit) {
  uint8_t input = 1;
  while (bit >>= 1) input++;
  return input;
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

/* One capture, and what is known of the gates behind it. Exactly one gate moved once: that is the edge. Anything else means
 * that more than one edge fell into the front: what cannot be told apart is counted as lost, never guessed at. */
static inline void judge(uint8_t gates, volatile uint8_t *control, volatile uint8_t *tifr) {
  ticks_t at = ticks_back_to(ticks_now_in_isr(), front_at);
  uint8_t flags = front_flags & gates;
  uint8_t levels = front_pins & gates;
  uint8_t moved = levels ^ (gate_levels & gates);
  if (is_single(moved) && !(flags & ~moved)) {
    gate_levels ^= moved;
    keep(input_of(moved) | (levels & moved ? EDGE_ACTIVE : 0) | EDGE_HARDWARE, at);
    return;
  }
  uint8_t seen = flags | moved;
  /* Something was captured, and nothing is to be seen of it any more: there and back at least. */
  uint8_t uncaptured = seen ? 0 : 2;
  if (is_single(seen)) {
    /* There and back on one gate: the first of the two is the one that was captured. */
    keep(input_of(seen) | (levels & seen ? 0 : EDGE_ACTIVE) | EDGE_HARDWARE, at);
    uncaptured = 1;
  } else {
    for (uint8_t bit = 1; bit <= GATES_ALL; bit <<= 1) {
      if (moved & bit) uncaptured++;
      else if (seen & bit) uncaptured += 2;
    }
  }
  lose(uncaptured + settle(gates, levels, moved & ~flags, control, tifr));
}

__attribute__((signal, used)) void __vector_odd_captured(void) { judge(GATES_ODD, &TCCR4B, &TIFR4); }
__attribute__((signal, used)) void __vector_even_captured(void) { judge(GATES_EVEN, &TCCR5B, &TIFR5); }

/* The trigger needs no better than a few microseconds: it opens a shot, it times nothing. */
ISR(INT4_vect) {
  ticks_t at = ticks_now_in_isr();
  uint8_t active = TRIGGER_PINS & _BV(TRIGGER_BIT) ? 0 : 1;
  if (active == trigger_active) {
    lose(2);
    return;
  }
  trigger_active = active;
  keep(active ? EDGE_ACTIVE : 0, at);
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
