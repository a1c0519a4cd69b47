/** Bounds of the gate-board wire. Both sides hold them; docs/protocol.md states them. */
export const WIRE = {
  protocolVersion: 1,
  /** A frame with its CRC and its line feed, bytes. */
  lineBytesMax: 512,
  /** Sequence numbers are 32-bit and do not wrap: a board restarts first (497 days at 100 frames a second). */
  sequenceMax: 0xffff_ffff,
  /** Ticks are 48-bit counts of the board's own clock (203 days at 16 MHz). */
  ticksMax: 0xffff_ffff_ffff,
  /** Light-gate inputs are numbered from 1; input 0 is the trigger. */
  gateInputsMax: 8,
  channelsMax: 16,
  /** Samples in one DATA frame. */
  blockSamplesMax: 100,
  /** Sequence numbers that one RESEND may cover. */
  resendFramesMax: 256,
  /** The longest line that a host sends has 48 bytes; a board may refuse anything longer than this. */
  hostLineBytesMax: 64,
  /** Edges a board must be able to hold unacknowledged. */
  heldEdgesMin: 32,
} as const;
