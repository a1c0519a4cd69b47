/* Edges: stamped by the capture units, kept until the host says that they are safe. */
#pragma once
#include "ticks.h"

#define EDGE_ACTIVE 0x80
#define EDGE_HARDWARE 0x40
#define EDGE_INPUT 0x0F

typedef struct {
  uint32_t seq; /* once it has been numbered */
  ticks_t at;
  uint8_t what; /* input, and the bits above */
} edge_t;

typedef struct {
  uint32_t captured;
  uint32_t lost;
  uint8_t held;
  uint16_t active; /* bit 0 the trigger, bit n gate n */
} edge_counts_t;

/* Levels at the start are no edges. Before ticks_start. */
void edges_start(void);
edge_counts_t edges_counts(void);
/* In every round of the main loop: takes over what the interrupts have counted. */
void edges_gather(void);

/* Oldest edge that has no number yet, or NULL. It is given this one. */
const edge_t *edges_number_next(uint32_t seq);
bool edges_waiting(void);
/* The numbered edge number i, oldest first; NULL beyond the last. */
const edge_t *edges_numbered(uint8_t i);
void edges_release(uint32_t up_to_seq);
bool edges_empty(void);
