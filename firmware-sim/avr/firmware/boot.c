#include "boot.h"
#include <avr/eeprom.h>
#include <avr/io.h>
#include <avr/wdt.h>

static uint32_t EEMEM starts;
static uint8_t cause __attribute__((section(".noinit")));

/* Before all else: after a bite the watchdog goes on running, at its shortest time, until it is told otherwise. */
__attribute__((naked, used, section(".init3"))) void boot_first(void) {
  cause = MCUSR;
  MCUSR = 0;
  wdt_disable();
}

char boot_reset_cause(void) {
  if (cause & _BV(WDRF)) return 'W';
  if (cause & (_BV(PORF) | _BV(BORF))) return 'P';
  if (cause & (_BV(EXTRF) | _BV(JTRF))) return 'R';
  return 'U';
}

uint32_t boot_id(void) {
  uint32_t count = eeprom_read_dword(&starts) + 1;
  eeprom_update_dword(&starts, count);
  /* An odd factor takes each count to another number, so that ids do not look like counts. */
  return count * 2654435761UL;
}
