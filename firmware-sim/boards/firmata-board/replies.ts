/**
 * What a Firmata board says, as bytes.
 * Source: Firmata protocol 2.x (github.com/firmata/protocol, from memory; held against the firmata-io host library).
 */

/** Firmata protocol version of these replies. */
export const PROTOCOL_VERSION = [2, 6] as const;

/** Modes that a pin may have; the resolution of an analog one is its bits. */
export const PIN_MODE = { input: 0, output: 1, analog: 2, i2c: 6, pullUp: 11 } as const;

const NO_CHANNEL = 0x7f;

/** Each value as two bytes of 7 bits, the low ones first. */
const pairs = (values: Iterable<number>): number[] => [...values].flatMap((value) => [value & 0x7f, (value >> 7) & 0x7f]);
const sysex = (...body: number[]): Uint8Array => Uint8Array.from([0xf0, ...body, 0xf7]);

export const versionReply = (): Uint8Array => Uint8Array.from([0xf9, ...PROTOCOL_VERSION]);

export const firmwareReply = (name: string): Uint8Array => sysex(0x79, ...PROTOCOL_VERSION, ...pairs(Buffer.from(name, 'latin1')));

/** @param pins  for each pin its modes, each with its resolution in bits */
export const capabilityReply = (pins: readonly (readonly (readonly [number, number])[])[]): Uint8Array =>
  sysex(0x6c, ...pins.flatMap((modes) => [...modes.flat(), 0x7f]));

/** @param channels  for each pin its analog channel, or undefined */
export const analogMappingReply = (channels: readonly (number | undefined)[]): Uint8Array =>
  sysex(0x6a, ...channels.map((channel) => channel ?? NO_CHANNEL));

/** @param channel  0 to 15 @param counts  14 bits at most */
export const analogReport = (channel: number, counts: number): Uint8Array => Uint8Array.from([0xe0 | channel, ...pairs([counts])]);

export const i2cReply = (address: number, register: number, bytes: Uint8Array): Uint8Array =>
  sysex(0x77, ...pairs([address, register, ...bytes]));

export const stringReply = (text: string): Uint8Array => sysex(0x71, ...pairs(Buffer.from(text, 'latin1')));
