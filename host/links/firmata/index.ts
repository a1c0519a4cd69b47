export { FirmataLink } from './firmata-link.ts';
export type { FirmataSetup, FirmataTiming } from './firmata-setup.ts';
export { FIRMATA_TIMING } from './firmata-setup.ts';
