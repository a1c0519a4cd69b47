/** At which ports a device is to be tried next, and in which order. Remembers where a wrong device was found. */
import type { DeviceKind } from './device.ts';
import type { ListedPort } from './list-ports.ts';
import type { PortBook } from './port-book.ts';
import type { SessionClock } from './session-clock.ts';

export interface Candidate {
  readonly path: string;
  /** It is the port that the rig file names, by path or serial number. */
  readonly isOwn: boolean;
  readonly needsProof: boolean;
}

export interface Candidates {
  readonly ports: readonly Candidate[];
  /** What to say where none of them can be opened. */
  readonly nothing: string;
}

interface Refusal {
  readonly identity: string | undefined;
  readonly untilNs: number;
}

type Wanted = Pick<DeviceKind, 'name' | 'path' | 'serialNumber' | 'identity'>;

export class PortFinder {
  readonly #device: Wanted;
  readonly #book: PortBook;
  readonly #clock: SessionClock;
  readonly #wrongMs: number;
  /** As many as the machine has ports: what is neither listed nor the device's own is forgotten. */
  #refused = new Map<string, Refusal>();
  #lastFound = '';

  constructor(device: Wanted, ports: { readonly book: PortBook; readonly clock: SessionClock }, wrongMs: number) {
    this.#device = device;
    this.#book = ports.book;
    this.#clock = ports.clock;
    this.#wrongMs = wrongMs;
    if (device.identity === undefined) ports.book.reserve(device.name, { path: device.path, serialNumber: device.serialNumber });
  }

  /** @param widely  other ports too, where the device can say who it is */
  async next(widely: boolean): Promise<Candidates> {
    const { path, serialNumber, identity } = this.#device;
    if (serialNumber !== undefined) return this.#bySerialNumber(serialNumber, path);
    const own = path === undefined ? [] : this.#untried([{ path }], true);
    const nothing = `Nothing is at ${path}; plug it in, or correct its path in the rig file.`;
    if (identity === undefined || !widely) return { ports: own, nothing };
    const listing = await this.#book.list();
    if (!listing.ok) return { ports: own, nothing: `${nothing} Other ports cannot be listed (${listing.why}).` };
    this.#forgetAllBut(listing.ports);
    const others = listing.ports.filter((port) => !this.#isAt(port.path, path) && !this.#book.isReserved(port, this.#device.name));
    others.sort((a, b) => Number(b.path === this.#lastFound) - Number(a.path === this.#lastFound));
    return { ports: [...own, ...this.#untried(others, false)], nothing: `${nothing} The other ports are asked for ${identity}.` };
  }

  /** A wrong device answers there. */
  refuse(path: string): void {
    this.#refused.set(path, { identity: this.#book.system.identityOf(path), untilNs: this.#clock.nowNs() + this.#wrongMs * 1e6 });
  }

  found(path: string): void {
    this.#refused.delete(path);
    this.#lastFound = path;
  }

  async #bySerialNumber(serialNumber: string, path: string | undefined): Promise<Candidates> {
    const listing = await this.#book.list();
    if (!listing.ok) {
      const nothing = `The port with serial number ${serialNumber} cannot be looked for: ports cannot be listed (${listing.why}).`;
      return { ports: path === undefined ? [] : this.#untried([{ path }], true), nothing };
    }
    this.#forgetAllBut(listing.ports);
    const found = listing.ports.filter((port) => port.serialNumber === serialNumber);
    // Some adapters share one number, and some have two ports: the path decides.
    found.sort((a, b) => Number(this.#isAt(b.path, path)) - Number(this.#isAt(a.path, path)));
    return {
      ports: this.#untried(found, true),
      nothing: `No port has the serial number ${serialNumber}; plug the device in, or correct the number in the rig file.`,
    };
  }

  #untried(ports: readonly ListedPort[], isOwn: boolean): readonly Candidate[] {
    return ports.flatMap(({ path }) => {
      const refusal = this.#refused.get(path);
      const isSame = refusal !== undefined && refusal.identity === this.#book.system.identityOf(path);
      if (!isSame) this.#refused.delete(path);
      else if (this.#clock.nowNs() < refusal.untilNs) return [];
      // Once wrong, a device has to show that it is right now.
      return [{ path, isOwn, needsProof: !isOwn || (isSame && this.#device.identity !== undefined) }];
    });
  }

  #isAt(path: string, other: string | undefined): boolean {
    const { system } = this.#book;
    return other !== undefined && system.realPathOf(path) === system.realPathOf(other);
  }

  #forgetAllBut(ports: readonly ListedPort[]): void {
    const known = new Set([this.#device.path, ...ports.map(({ path }) => path)]);
    this.#refused = new Map([...this.#refused].filter(([path]) => known.has(path)));
  }
}
