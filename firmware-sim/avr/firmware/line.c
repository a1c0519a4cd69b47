#include "line.h"
#include "serial.h"
#include <avr/pgmspace.h>
#include <util/crc16.h>

/* At a time: long enough that the rest of the main loop (two bytes of time at most) leaves no gap on the line. */
#define PUMP_BYTES 8

static char text[LINE_MAX];
static char *next = text; /* where its next character goes */
static const char *unsent = text;
static uint16_t crc;

bool line_is_busy(void) { return unsent < next; }

void line_pump(void) {
  for (uint8_t i = 0; i < PUMP_BYTES && unsent < next; i++) {
    while (!serial_can_send()) {
    }
    serial_send(*unsent++);
  }
}

static void begin(void) {
  next = text;
  unsent = text;
  crc = 0xFFFF;
}

/* The library's polynomial is that of docs/protocol.md; the start value, set in begin, makes it CRC-16/CCITT-FALSE. */
static void put(char c) {
  *next++ = c;
  crc = _crc_xmodem_update(crc, c);
}

static void put_digit(uint8_t value) { put(value < 10 ? '0' + value : 'A' - 10 + value); }

static void put_byte(uint8_t value) {
  put_digit(value >> 4);
  put_digit(value & 15);
}

static void put_16(uint16_t value) {
  put_byte(value >> 8);
  put_byte((uint8_t)value);
}

static void put_32(uint32_t value) {
  put_16(value >> 16);
  put_16((uint16_t)value);
}

static void put_ticks(ticks_t at) {
  put_32(at.high);
  put_16(at.low);
}

static void put_text(PGM_P from) {
  char c;
  while ((c = pgm_read_byte(from++))) put(c);
}

static void field_32(uint32_t value) {
  put(' ');
  put_32(value);
}

static void field_ticks(ticks_t at) {
  put(' ');
  put_ticks(at);
}

static void end(void) {
  uint16_t sum = crc;
  put('*');
  put_16(sum);
  put('\n');
}

void line_hello(uint32_t seq, const hello_t *hello) {
  begin();
  /* Ends whatever was half sent before the start. */
  if (seq == 0) {
    put('\n');
    crc = 0xFFFF;
  }
  put_text(PSTR("HELLO"));
  field_32(seq);
  put_text(PSTR(" 01 " BOARD_ID));
  field_32(hello->boot_id);
  put(' ');
  put(hello->reset_cause);
  field_32(TICK_RATE_HZ);
  field_ticks(ticks_now());
  put(' ');
  put_digit(GATE_COUNT);
  put(' ');
  put_byte(CHANNEL_COUNT);
  field_32(hello->oldest_held);
  end();
}

void line_beat(const beat_t *beat) {
  begin();
  put_text(PSTR("BEAT"));
  field_32(beat->seq);
  field_ticks(beat->at);
  field_32(beat->counts.captured);
  field_32(beat->counts.lost);
  put(' ');
  put_16(beat->counts.held);
  put(' ');
  put_16(beat->counts.active);
  field_32(beat->host_lines_bad);
  end();
}

/* Its last field is the moment at which its first byte goes out. So that byte goes first, at once, and what belongs to the
 * moment is written while it is on its way: between stamp and wire there are the same few cycles each time. */
void line_stamp(uint32_t seq, const ping_t *ping) {
  begin();
  put_text(PSTR("STAMP"));
  field_32(seq);
  put(' ');
  for (uint8_t i = 0; i < sizeof ping->token; i++) put(ping->token[i]);
  field_ticks(ping->received);
  while (!serial_is_idle()) {
  }
  ticks_t now;
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    now = ticks_now_in_isr();
    serial_send(text[0]);
  }
  unsent = text + 1;
  field_ticks(now);
  end();
}

void line_edge(const edge_t *edge) {
  begin();
  put_text(PSTR("EDGE"));
  field_32(edge->seq);
  put(' ');
  put_digit(edge->what & EDGE_INPUT);
  put(' ');
  put(edge->what & EDGE_ACTIVE ? 'B' : 'C');
  field_ticks(edge->at);
  put(' ');
  put(edge->what & EDGE_HARDWARE ? 'H' : 'S');
  end();
}

void line_block(const block_t *block) {
  begin();
  put_text(PSTR("DATA"));
  field_32(block->seq);
  put_text(PSTR(" S "));
  put_digit(block->channel);
  field_ticks(block->at);
  field_32(SAMPLE_TICKS);
  put(' ');
  for (uint8_t i = 0; i < BLOCK_SAMPLES; i++) put_16(block->counts[i]);
  end();
}

void line_gone(uint32_t seq, uint32_t from_seq, uint32_t to_seq) {
  begin();
  put_text(PSTR("GONE"));
  field_32(seq);
  field_32(from_seq);
  field_32(to_seq);
  end();
}
