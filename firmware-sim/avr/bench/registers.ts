/** Where the ATmega2560 keeps what the bench models: addresses in data space, vectors as word addresses. Source: avr-libc, iomxx0_1.h */
export const REGISTER = {
  PIND: 0x29,
  PINE: 0x2c,
  TIFR1: 0x36,
  EIFR: 0x3c,
  EIMSK: 0x3d,
  EECR: 0x3f,
  EEDR: 0x40,
  EEARL: 0x41,
  EEARH: 0x42,
  MCUSR: 0x54,
  WDTCSR: 0x60,
  ADCL: 0x78,
  ADCH: 0x79,
  ADCSRA: 0x7a,
  ADMUX: 0x7c,
  UCSR0A: 0xc0,
  UCSR0B: 0xc1,
  UBRR0L: 0xc4,
  UDR0: 0xc6,
} as const;

/** First and last of the input and output registers. */
export const IO_REGISTERS = [0x20, 0x1ff] as const;

/** Of a 16-bit timer: its own block of registers, its flags, its interrupts. */
export interface TimerRegisters {
  readonly tccrb: number;
  readonly tcnt: number;
  readonly icr: number;
  readonly ocra: number;
  readonly ocrb: number;
  readonly timsk: number;
  readonly tifr: number;
  readonly captureVector: number;
  readonly overflowVector: number;
}

const timer = (block: number, timsk: number, tifr: number, firstVector: number): TimerRegisters => ({
  tccrb: block + 1,
  tcnt: block + 4,
  icr: block + 6,
  ocra: block + 8,
  ocrb: block + 10,
  timsk,
  tifr,
  captureVector: 2 * firstVector,
  overflowVector: 2 * (firstVector + 4),
});

export const TIMER = {
  one: timer(0x80, 0x6f, REGISTER.TIFR1, 16),
  four: timer(0xa0, 0x72, 0x39, 41),
  five: timer(0x120, 0x73, 0x3a, 46),
} as const;

export const VECTOR = { INT4: 2 * 5, USART0_RX: 2 * 25, ADC: 2 * 29 } as const;
