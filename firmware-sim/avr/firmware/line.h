/* The one line that is being written or is on its way. */
#pragma once
#include "edges.h"
#include "samples.h"

typedef struct {
  uint32_t seq;
  ticks_t at;
  edge_counts_t counts;
  uint32_t host_lines_bad;
} beat_t;

typedef struct {
  char token[16];
  ticks_t received;
} ping_t;

typedef struct {
  uint32_t boot_id;
  char reset_cause;
  uint32_t oldest_held;
} hello_t;

bool line_is_busy(void);
/* Sends some bytes of it, waiting for the register: a sixth of a millisecond at most. */
void line_pump(void);

void line_hello(uint32_t seq, const hello_t *hello);
void line_beat(const beat_t *beat);
void line_stamp(uint32_t seq, const ping_t *ping);
void line_edge(const edge_t *edge);
void line_block(const block_t *block);
void line_gone(uint32_t seq, uint32_t from_seq, uint32_t to_seq);
