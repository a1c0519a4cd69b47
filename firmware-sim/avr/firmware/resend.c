#include "resend.h"
#include "edges.h"
#include <string.h>

static bool is_waiting, has_edges;
static uint32_t from, to, next_edge, next_other;
/* Which numbers of the range were held edges when it was asked for: they are answered in the first round only. */
static uint8_t edge_bits[32];

static bool was_edge(uint32_t seq) {
  uint8_t i = seq - from;
  return edge_bits[i >> 3] & (1 << (i & 7));
}

void resend_ask(uint32_t from_seq, uint32_t to_seq, uint32_t last_seq) {
  if (to_seq > last_seq) to_seq = last_seq;
  if (is_waiting || from_seq > to_seq) return;
  from = next_edge = next_other = from_seq;
  to = to_seq;
  memset(edge_bits, 0, sizeof edge_bits);
  const edge_t *edge;
  has_edges = false;
  for (uint8_t i = 0; (edge = edges_numbered(i)); i++) {
    if (edge->seq < from || edge->seq > to) continue;
    uint8_t place = edge->seq - from;
    edge_bits[place >> 3] |= 1 << (place & 7);
    has_edges = true;
  }
  is_waiting = true;
}

bool resend_wants(uint32_t seq) { return is_waiting && seq >= next_other && seq <= to; }

static bool is_held_edge(uint32_t seq) {
  const edge_t *edge;
  for (uint8_t i = 0; (edge = edges_numbered(i)); i++) {
    if (edge->seq == seq) return true;
  }
  return false;
}

resend_answer_t resend_next_edge(void) {
  resend_answer_t answer = {.kind = RESEND_NOTHING};
  if (!is_waiting || !has_edges) return answer;
  while (next_edge <= to && next_edge - from < 256 && !was_edge(next_edge)) next_edge++;
  if (next_edge > to) {
    has_edges = false;
    return answer;
  }
  answer.from_seq = answer.to_seq = next_edge++;
  /* Acknowledged while it waited: it is gone by now. */
  answer.kind = is_held_edge(answer.from_seq) ? RESEND_FRAME : RESEND_GONE;
  return answer;
}

resend_answer_t resend_next_other(bool (*next_held)(uint32_t from_seq, uint32_t *seq)) {
  resend_answer_t answer = {.kind = RESEND_NOTHING};
  if (!is_waiting) return answer;
  while (next_other <= to && was_edge(next_other)) next_other++;
  if (next_other > to) {
    is_waiting = false;
    return answer;
  }
  uint32_t held;
  bool is_held = next_held(next_other, &held);
  answer.from_seq = answer.to_seq = next_other++;
  if (is_held && held == answer.from_seq) {
    answer.kind = RESEND_FRAME;
    return answer;
  }
  while (next_other <= to && !(is_held && next_other == held) && !was_edge(next_other)) next_other++;
  answer.to_seq = next_other - 1;
  answer.kind = RESEND_GONE;
  return answer;
}
