#include "host.h"
#include <avr/pgmspace.h>
#include <util/crc16.h>

static uint8_t digit_of(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return 0xFF;
}

static bool read_hex(const char *at, uint8_t digits, uint32_t *value) {
  *value = 0;
  while (digits--) {
    uint8_t digit = digit_of(*at++);
    if (digit > 15) return false;
    *value = (*value << 4) | digit;
  }
  return true;
}

static uint16_t crc_of(const char *text, uint8_t length) {
  uint16_t crc = 0xFFFF;
  while (length--) crc = _crc_xmodem_update(crc, *text++);
  return crc;
}

/* Each kind's fields have fixed widths, so a form says all: `8` eight digits, `G` sixteen, a blank itself. */
static bool has_form(const char *text, uint8_t length, PGM_P kind, PGM_P form, uint8_t *fields_at) {
  uint8_t at = 0;
  char c;
  while ((c = pgm_read_byte(kind++))) {
    if (at >= length || text[at++] != c) return false;
  }
  *fields_at = at + 10;
  while ((c = pgm_read_byte(form++))) {
    uint8_t digits = c == '8' ? 8 : 16;
    if (at + 1 + digits > length || text[at++] != ' ') return false;
    while (digits--) {
      if (digit_of(text[at++]) > 15) return false;
    }
  }
  return at == length;
}

host_message_t host_read(const host_line_t *line) {
  host_message_t bad = {.kind = HOST_BAD};
  host_message_t message = bad;
  const char *text = line->text;
  uint8_t length = line->length;
  if (line->too_long) return bad;
  if (length && text[length - 1] == '\r') length--;
  if (length < 6 || text[length - 5] != '*') return bad;
  uint32_t crc;
  if (!read_hex(text + length - 4, 4, &crc)) return bad;
  length -= 5;
  if (crc_of(text, length) != crc) return bad;

  uint8_t at;
  if (has_form(text, length, PSTR("WHO"), PSTR("8"), &at)) {
    message.kind = HOST_WHO;
  } else if (has_form(text, length, PSTR("PING"), PSTR("8G"), &at)) {
    message.kind = HOST_PING;
    message.token = text + at;
  } else if (has_form(text, length, PSTR("RESEND"), PSTR("8888"), &at)) {
    message.kind = HOST_RESEND;
    read_hex(text + at, 8, &message.boot_id);
    read_hex(text + at + 9, 8, &message.from_seq);
    read_hex(text + at + 18, 8, &message.to_seq);
    if (message.to_seq < message.from_seq || message.to_seq - message.from_seq > 255) return bad;
  } else if (has_form(text, length, PSTR("ACK"), PSTR("888"), &at)) {
    message.kind = HOST_ACK;
    read_hex(text + at, 8, &message.boot_id);
    read_hex(text + at + 9, 8, &message.to_seq);
  }
  return message;
}
