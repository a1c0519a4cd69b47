/* The one range that the host has asked for again: first the edges, then all else, what is gone in runs. */
#pragma once
#include "ticks.h"

/* Ignored while another one waits: the host asks again. @param last_seq  newest number that exists */
void resend_ask(uint32_t from_seq, uint32_t to_seq, uint32_t last_seq);
/* Asked for and not served yet: must not make room for anything. */
bool resend_wants(uint32_t seq);

typedef enum { RESEND_NOTHING, RESEND_FRAME, RESEND_GONE } resend_kind_t;

typedef struct {
  resend_kind_t kind;
  uint32_t from_seq; /* the frame's number, or the first of a run */
  uint32_t to_seq;
} resend_answer_t;

resend_answer_t resend_next_edge(void);
/* @param next_held  lowest number held, edges apart, that is not below the one given */
resend_answer_t resend_next_other(bool (*next_held)(uint32_t from_seq, uint32_t *seq));
