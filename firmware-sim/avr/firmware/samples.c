#include "samples.h"
#include <avr/interrupt.h>

enum { FREE, SPARE, FILLING, WAITING, HELD };

static block_t blocks[BLOCKS_MAX];
static volatile uint8_t state[BLOCKS_MAX];
/* Whom the interrupt takes its next block from, and hands full ones to; as many as there are channels are enough. */
static volatile uint8_t spares[CHANNEL_COUNT], spare_count;
static volatile uint8_t waiting[BLOCKS_MAX], waiting_first, waiting_count;
static uint8_t filling[CHANNEL_COUNT], filled[CHANNEL_COUNT];
static uint8_t channel;
/* The first conversion after switching on holds later than the others: it is thrown away. */
static bool is_settled;
static ticks_t held_at; /* hold instant of the conversion that is awaited */

/* From the match that starts a conversion to the hold: three cycles to pass it on, two of the converter's 128 each.
 * Source: ATmega2560 data sheet, "Prescaling and Conversion Timing" (from memory) */
#define HOLD_TICKS (3 + 2 * 128)

static void start_over(void) {
  for (uint8_t i = 0; i < CHANNEL_COUNT; i++) filled[i] = 0;
}

ISR(ADC_vect) {
  uint16_t counts = ADC;
  TIFR1 = _BV(OCF1B); /* or the next match starts nothing */
  ticks_t at = held_at;
  uint8_t from = channel;
  channel = (channel + 1) & (CHANNEL_COUNT - 1);
  ADMUX = _BV(REFS0) | channel;
  held_at = ticks_plus(at, CONVERSION_TICKS);
  /* The conversion takes less than the time to the next one. Older than that: matches went by unserved. */
  if ((uint16_t)(TCNT5 - held_at.low) < 0x8000) {
    while ((uint16_t)(TCNT5 - held_at.low) < 0x8000) held_at = ticks_plus(held_at, CONVERSION_TICKS);
    start_over();
    return;
  }
  if (!is_settled) {
    is_settled = true;
    return;
  }
  block_t *block = &blocks[filling[from]];
  if (filled[from] == 0) {
    block->at = at;
    block->channel = from;
  }
  block->counts[filled[from]++] = counts;
  if (filled[from] < BLOCK_SAMPLES) return;
  filled[from] = 0;
  if (spare_count == 0) return; /* nowhere to go on: this block is overwritten, and the next one's time tells of the hole */
  uint8_t place = waiting_first + waiting_count;
  if (place >= BLOCKS_MAX) place -= BLOCKS_MAX;
  state[filling[from]] = WAITING;
  waiting[place] = filling[from];
  waiting_count++;
  filling[from] = spares[--spare_count];
  state[filling[from]] = FILLING;
}

void samples_start(void) {
  for (uint8_t i = 0; i < CHANNEL_COUNT; i++) {
    filling[i] = i;
    state[i] = FILLING;
    spares[i] = CHANNEL_COUNT + i;
    state[CHANNEL_COUNT + i] = SPARE;
  }
  spare_count = CHANNEL_COUNT;
  held_at = ticks_plus((ticks_t){.low = 0, .high = 0}, CONVERSION_TICKS - 1 + HOLD_TICKS);
  DIDR0 = 0x0F;
  ADMUX = _BV(REFS0); /* against the supply */
  ADCSRB = _BV(ADTS2) | _BV(ADTS0); /* started by timer 1, compare B */
  ADCSRA = _BV(ADEN) | _BV(ADATE) | _BV(ADIE) | _BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0);
}

static uint8_t take_waiting(void) {
  uint8_t index = 0;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    index = waiting[waiting_first];
    waiting_first = waiting_first + 1 == BLOCKS_MAX ? 0 : waiting_first + 1;
    waiting_count--;
  }
  return index;
}

static bool find_room(uint8_t *room, is_wanted_t is_wanted) {
  bool found = false;
  for (uint8_t i = 0; i < BLOCKS_MAX; i++) {
    if (state[i] == FREE) {
      *room = i;
      return true;
    }
    if (state[i] != HELD || is_wanted(blocks[i].seq)) continue;
    if (!found || blocks[i].seq < blocks[*room].seq) *room = i;
    found = true;
  }
  return found;
}

void samples_make_room(uint32_t *next_seq, is_wanted_t is_wanted) {
  while (waiting_count > BLOCKS_WAITING_MAX) {
    uint8_t index = take_waiting();
    blocks[index].seq = (*next_seq)++;
    state[index] = HELD;
  }
  while (spare_count < CHANNEL_COUNT) {
    uint8_t room;
    if (!find_room(&room, is_wanted)) {
      if (waiting_count == 0) return;
      room = take_waiting();
      (*next_seq)++;
    }
    state[room] = SPARE;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) { spares[spare_count++] = room; }
  }
}

bool samples_waiting(void) { return waiting_count > 0; }

const block_t *samples_number_next(uint32_t seq) {
  if (waiting_count == 0) return 0;
  uint8_t index = take_waiting();
  blocks[index].seq = seq;
  state[index] = HELD;
  return &blocks[index];
}

const block_t *samples_held(uint32_t seq) {
  for (uint8_t i = 0; i < BLOCKS_MAX; i++) {
    if (state[i] == HELD && blocks[i].seq == seq) return &blocks[i];
  }
  return 0;
}

bool samples_next_held(uint32_t from_seq, uint32_t *seq) {
  bool found = false;
  for (uint8_t i = 0; i < BLOCKS_MAX; i++) {
    if (state[i] != HELD || blocks[i].seq < from_seq || (found && blocks[i].seq >= *seq)) continue;
    *seq = blocks[i].seq;
    found = true;
  }
  return found;
}
