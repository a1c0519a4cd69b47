/**
 * The link to a board that runs the common Firmata firmware: slow analog pins and a BME280 weather sensor, handed over
 * as readings.
 *
 * Firmata has no checksum, no sequence number and no clock of the board's: every value is checked for range and for
 * standing alone, and its time is that of its arrival. No value is ever handed over twice, or after its port was lost.
 */
import { type LinkPorts, SupervisedLink } from '../supervised-link.ts';
import type { FirmataClient } from './firmata-client.ts';
import { FirmataConversation } from './firmata-conversation.ts';
import { FIRMATA_TIMING, type FirmataSetup, type FirmataTiming } from './firmata-setup.ts';
import { LastingParts, type LineFaults } from './lasting-parts.ts';

export class FirmataLink {
  readonly #link: SupervisedLink;
  readonly #lasting: LastingParts;

  constructor(setup: FirmataSetup, ports: LinkPorts, timing: FirmataTiming = FIRMATA_TIMING) {
    const lasting = new LastingParts(setup, timing);
    this.#lasting = lasting;
    const { name, path, serialNumber, baudRate } = setup;
    const device = { name, baudRate, ...(path === undefined ? {} : { path }), ...(serialNumber === undefined ? {} : { serialNumber }) };
    const parts = { setup, timing, lasting };
    this.#link = new SupervisedLink({ ...device, converse: (line) => new FirmataConversation(line, parts) }, ports, timing);
  }

  /** What the line has spoilt since `start`, as far as it showed. */
  get faults(): LineFaults {
    return this.#lasting.faults;
  }

  /** The client's emitters, for a test that nothing piles up on them. */
  get emitters(): FirmataClient['emitters'] {
    return this.#lasting.client?.emitters ?? [];
  }

  /** Opens the port, and again whenever it is lost, until `close`. */
  start(): void {
    this.#link.start();
  }

  /** Resolves once the port is closed and the last record handed over. */
  async close(): Promise<void> {
    await this.#link.close();
    this.#lasting.client?.close();
  }
}
