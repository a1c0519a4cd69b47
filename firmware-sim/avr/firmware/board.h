/* The reference board: an ATmega2560 at 16 MHz with its usual headers. Pins, bounds and rates, and nothing else.
 *
 * Why this chip of the class: two capture units on its headers, so that the gates of one pair never share one (a 328P
 * has a single unit for all), external-interrupt flags that tell which gate an edge came from, and 8 KB of memory.
 */
#pragma once
#include <avr/io.h>
#include <stdbool.h>
#include <stdint.h>

#ifndef BOARD_ID
#define BOARD_ID "CS-GB-01"
#endif

#if F_CPU != 16000000UL
#error "ticks, baud rate and sampling are worked out for 16 MHz"
#endif

/* Gates 1 to 4 are PD0 to PD3 (INT0 to INT3), high while blocked: a broken wire reads blocked, through the pull-up.
 * Outside, gates 1 and 3 are combined by exclusive or on ICP4, gates 2 and 4 on ICP5. */
#define GATE_PINS PIND
#define GATE_PULLUPS PORTD
#define GATES_ALL 0x0F
#define GATES_ODD 0x05
#define GATES_EVEN 0x0A
#define GATE_COUNT 4
/* The trigger is PE4 (INT4), low while the firing signal is present: a broken wire reads as no signal. */
#define TRIGGER_PINS PINE
#define TRIGGER_PULLUPS PORTE
#define TRIGGER_BIT PE4

#define CHANNEL_COUNT 4
/* Each channel at 1 kHz: one conversion every quarter of a millisecond, channels in turn. */
#define CONVERSION_TICKS 4000
#define SAMPLE_TICKS 16000UL
#define BLOCK_SAMPLES 50

#define TICK_RATE_HZ 16000000UL
/* 500000 baud with the doubled rate: exact at 16 MHz. */
#define BAUD_DIVISOR 3

/* Bounds of the memory. A full edge memory refuses the newest edge; all else makes room by its oldest. */
#define EDGES_MAX 64 /* a power of two */
#define BLOCKS_MAX 40
#define BLOCKS_WAITING_MAX 16
#define BEATS_MAX 16
#define PINGS_MAX 4
#define HOST_LINE_MAX 65 /* 64 with the line feed, and a carriage return */
#define LINE_MAX 256
