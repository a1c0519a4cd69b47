/* The gate board: edges, samples and stamps over one serial line, as docs/protocol.md has it.
 * It measures. It drives no output, and must not be given one. */
#include "boot.h"
#include "edges.h"
#include "host.h"
#include "line.h"
#include "resend.h"
#include "samples.h"
#include "serial.h"
#include <avr/interrupt.h>
#include <avr/wdt.h>
#include <string.h>

static hello_t hello;
static uint32_t next_seq;
static uint32_t host_lines_bad;
static bool hello_waiting = true, beat_waiting;
static ticks_t beat_at = {.low = (uint16_t)TICK_RATE_HZ, .high = TICK_RATE_HZ >> 16};

static ping_t pings[PINGS_MAX];
static uint8_t pings_waiting;

static beat_t beats[BEATS_MAX];
static uint8_t beats_kept;

static bool next_held(uint32_t from_seq, uint32_t *seq) {
  bool found = samples_next_held(from_seq, seq);
  for (uint8_t i = 0; i < beats_kept; i++) {
    if (beats[i].seq < from_seq || (found && beats[i].seq >= *seq)) continue;
    *seq = beats[i].seq;
    found = true;
  }
  return found;
}

/* Keeps a heartbeat: the oldest that is not asked for makes room; where all are, this one is not kept. */
static void keep_beat(const beat_t *beat) {
  uint8_t place = beats_kept;
  if (beats_kept < BEATS_MAX) {
    beats_kept++;
  } else {
    place = BEATS_MAX;
    for (uint8_t i = 0; i < BEATS_MAX; i++) {
      if (resend_wants(beats[i].seq)) continue;
      if (place == BEATS_MAX || beats[i].seq < beats[place].seq) place = i;
    }
    if (place == BEATS_MAX) return;
  }
  beats[place] = *beat;
}

static void count_bad(void) {
  if (host_lines_bad < UINT32_MAX) host_lines_bad++;
}

static void listen(void) {
  const host_line_t *line = serial_line();
  if (!line || (line->length == 0 && !line->too_long) || (line->length == 1 && line->text[0] == '\r')) return;
  host_message_t message = host_read(line);
  switch (message.kind) {
  case HOST_BAD:
    count_bad();
    break;
  case HOST_WHO:
    hello_waiting = true;
    break;
  case HOST_PING:
    if (pings_waiting == PINGS_MAX) break;
    memcpy(pings[pings_waiting].token, message.token, sizeof pings[0].token);
    pings[pings_waiting].received = line->at;
    pings_waiting++;
    break;
  case HOST_RESEND:
    if (message.boot_id == hello.boot_id && next_seq) resend_ask(message.from_seq, message.to_seq, next_seq - 1);
    break;
  case HOST_ACK:
    if (message.boot_id == hello.boot_id) edges_release(message.to_seq);
    break;
  }
}

static void say_hello(void) {
  const edge_t *edge = edges_numbered(0);
  uint32_t oldest;
  if (!next_held(0, &oldest)) oldest = next_seq;
  if (edge && edge->seq < oldest) oldest = edge->seq;
  hello.oldest_held = oldest;
  hello_waiting = false;
  line_hello(next_seq++, &hello);
}

static void say_stamp(void) {
  line_stamp(next_seq++, &pings[0]);
  pings_waiting--;
  memmove(&pings[0], &pings[1], pings_waiting * sizeof pings[0]);
}

static void say_beat(void) {
  beat_t beat = {.seq = next_seq++, .at = ticks_now(), .counts = edges_counts(), .host_lines_bad = host_lines_bad};
  beat_waiting = false;
  keep_beat(&beat);
  line_beat(&beat);
}

static bool say_again(resend_answer_t answer) {
  if (answer.kind == RESEND_NOTHING) return false;
  if (answer.kind == RESEND_GONE) {
    line_gone(next_seq++, answer.from_seq, answer.to_seq);
    return true;
  }
  const edge_t *edge;
  for (uint8_t i = 0; (edge = edges_numbered(i)); i++) {
    if (edge->seq == answer.from_seq) {
      line_edge(edge);
      return true;
    }
  }
  const block_t *block = samples_held(answer.from_seq);
  if (block) {
    line_block(block);
    return true;
  }
  for (uint8_t i = 0; i < beats_kept; i++) {
    if (beats[i].seq == answer.from_seq) line_beat(&beats[i]);
  }
  return true;
}

/* What goes out next, in the order of docs/protocol.md. */
static void speak(void) {
  const edge_t *edge;
  const block_t *block;
  if (next_seq == 0) say_hello();
  else if (pings_waiting) say_stamp();
  else if (hello_waiting) say_hello();
  else if ((edge = edges_number_next(next_seq))) {
    next_seq++;
    line_edge(edge);
  } else if (say_again(resend_next_edge())) return;
  else if (beat_waiting) say_beat();
  else if (say_again(resend_next_other(next_held))) return;
  else if ((block = samples_number_next(next_seq))) {
    next_seq++;
    line_block(block);
  }
}

/* Near the last number or the last tick the board starts anew, once it holds no edge: the watchdog sees to it. */
static void start_anew_in_time(void) {
  if (next_seq < 0xFFFFFF00UL && ticks_now().high < 0xFFFFFF00UL) return;
  if (!edges_empty() || line_is_busy()) return;
  for (;;) {
  }
}

int main(void) {
  edges_start();
  ticks_start();
  samples_start();
  serial_start();
  wdt_enable(WDTO_250MS);
  sei();
  hello.boot_id = boot_id();
  hello.reset_cause = boot_reset_cause();
  for (;;) {
    wdt_reset();
    line_pump();
    edges_gather();
    listen();
    samples_make_room(&next_seq, resend_wants);
    if (!beat_waiting && ticks_reached(ticks_now(), beat_at)) {
      beat_waiting = true;
      beat_at = ticks_plus(beat_at, TICK_RATE_HZ);
    }
    if (line_is_busy()) continue;
    start_anew_in_time();
    speak();
  }
}
