export type { FirmataSetup, FirmataTiming } from './firmata/index.ts';
export { FIRMATA_TIMING, FirmataLink } from './firmata/index.ts';
export type { GateBoardSetup, LinkPorts, LinkTiming } from './gate-board-link.ts';
export { GateBoardLink, LINK_TIMING } from './gate-board-link.ts';
export { CONTINUED, LengthGuard, PIECE_BYTES_MAX } from './length-guard.ts';
export type { SessionClock } from './session-clock.ts';
