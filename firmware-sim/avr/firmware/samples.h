/* Converter channels, sampled by the timer without the program's help, in blocks that are numbered when they go out. */
#pragma once
#include "ticks.h"

typedef struct {
  uint32_t seq; /* once it has been numbered */
  ticks_t at;   /* hold instant of the first sample */
  uint8_t channel;
  uint16_t counts[BLOCK_SAMPLES];
} block_t;

/* Interrupts off; right after ticks_start. */
void samples_start(void);
/* Asked by samples_make_room: must a frame of this number stay? */
typedef bool (*is_wanted_t)(uint32_t seq);
/* Keeps spare blocks ready for the converter's interrupt. A block that has to go unsent takes *next_seq, so that its loss shows. */
void samples_make_room(uint32_t *next_seq, is_wanted_t is_wanted);

bool samples_waiting(void);
/* The oldest block that waits; it is given this number and held. */
const block_t *samples_number_next(uint32_t seq);
/* A held block of a number, or NULL; and the lowest number held that is not below this. */
const block_t *samples_held(uint32_t seq);
bool samples_next_held(uint32_t from_seq, uint32_t *seq);
