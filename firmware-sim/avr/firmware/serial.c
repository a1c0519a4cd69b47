#include "serial.h"
#include <avr/interrupt.h>

#define SERIAL_ON (_BV(RXEN0) | _BV(TXEN0))
#define STAMPS_MAX 16 /* a power of two */

static volatile uint8_t received[256]; /* its indices wrap by themselves */
static volatile uint8_t ring_in, ring_out;
static volatile ticks_t stamps[STAMPS_MAX];
static volatile uint8_t stamps_in, stamps_out;
static volatile bool dropping;
static bool has_sent;
static host_line_t line;

static inline void push(uint8_t byte) {
  received[ring_in] = byte;
  ring_in++;
}

/* Where there is no room for a line's bytes or its stamp, the line is made one that will be refused: a byte that no line
 * may have, then its line feed. Two places in the ring are kept for them. */
static inline void take(uint8_t byte, ticks_t now) {
  uint8_t room = (uint8_t)(ring_out - ring_in - 1);
  bool has_stamp = (uint8_t)(stamps_in - stamps_out) < STAMPS_MAX;
  if (byte != '\n') {
    if (dropping) return;
    if (room > 2) push(byte);
    else dropping = true;
    return;
  }
  if (room < 2 || !has_stamp) {
    dropping = true;
    return;
  }
  if (dropping) push(0);
  dropping = false;
  push('\n');
  uint8_t at = stamps_in & (STAMPS_MAX - 1);
  stamps[at].low = now.low;
  stamps[at].high = now.high;
  stamps_in++;
}

/* An edge must not wait for this: once the byte and its time are taken, others may interrupt. */
ISR(USART0_RX_vect) {
  uint8_t status = UCSR0A;
  uint8_t byte = UDR0;
  ticks_t now = {.low = 0, .high = 0};
  if (byte == '\n') now = ticks_now_in_isr();
  UCSR0B = SERIAL_ON;
  sei();
  take(status & (_BV(FE0) | _BV(DOR0)) ? 0 : byte, now);
  cli();
  UCSR0B = SERIAL_ON | _BV(RXCIE0);
}

void serial_start(void) {
  UBRR0 = BAUD_DIVISOR;
  UCSR0A = _BV(U2X0);
  UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
  UCSR0B = SERIAL_ON | _BV(RXCIE0);
}

const host_line_t *serial_line(void) {
  static bool is_done;
  if (is_done) {
    line.length = 0;
    line.too_long = is_done = false;
  }
  while (ring_out != ring_in) {
    uint8_t byte = received[ring_out];
    if (byte != '\n') {
      ring_out++;
      if (line.length < HOST_LINE_MAX) line.text[line.length++] = byte;
      else line.too_long = true;
      continue;
    }
    uint8_t at = stamps_out & (STAMPS_MAX - 1);
    bool has_stamp;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
      has_stamp = stamps_in != stamps_out;
      line.at.low = stamps[at].low;
      line.at.high = stamps[at].high;
    }
    if (!has_stamp) return 0;
    ring_out++;
    stamps_out++;
    is_done = true;
    return &line;
  }
  return 0;
}

void serial_send(uint8_t byte) {
  /* The flag after the byte, so that what is cleared is what was before: nothing can complete in the cycles between, unless
   * edges' interrupts fall there and take longer than the byte. Then the flag of this very byte would be lost for good. */
  ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
    UDR0 = byte;
    UCSR0A = _BV(U2X0) | _BV(TXC0);
  }
  has_sent = true;
}

bool serial_is_idle(void) { return !has_sent || (UCSR0A & _BV(TXC0)); }
