/**
 * Who has which port, among the links of one session: a link that looks for its device must never open a port that
 * another holds, nor one that the rig file gives to another device that cannot say who it is.
 */
import type { ListedPort } from './list-ports.ts';
import { MACHINE_PORTS, type PortSystem } from './port-system.ts';

export type Listing = { readonly ok: true; readonly ports: readonly ListedPort[] } | { readonly ok: false; readonly why: string };

/** A port in one link's hands. */
export interface Claim {
  release(): void;
}

/** A system that has not listed its ports by then will not. */
const LIST_MS_MAX = 5000;

export class PortBook {
  readonly system: PortSystem;
  readonly #holders = new Map<string, string>();
  readonly #reservations: { readonly owner: string; readonly path: string | undefined; readonly serialNumber: string | undefined }[] = [];
  #listing: Promise<Listing> | undefined;

  /** @param system  what is not of this machine: where its ports are listed, or the ports themselves */
  constructor(system: Partial<PortSystem> = {}) {
    this.system = { ...MACHINE_PORTS, ...system };
  }

  /** Links that ask at the same time share one answer. */
  list(): Promise<Listing> {
    this.#listing ??= this.#askSystem().finally(() => {
      this.#listing = undefined;
    });
    return this.#listing;
  }

  /** For the life of a link that knows its device by path or serial number alone. */
  reserve(owner: string, port: { readonly path: string | undefined; readonly serialNumber: string | undefined }): void {
    this.#reservations.push({ owner, path: port.path, serialNumber: port.serialNumber });
  }

  /** @returns true where another link has a reservation for the port */
  isReserved(port: ListedPort, owner: string): boolean {
    return this.#reservations.some((other) => {
      if (other.owner === owner) return false;
      if (other.serialNumber !== undefined) return other.serialNumber === port.serialNumber;
      return other.path !== undefined && this.system.realPathOf(other.path) === this.system.realPathOf(port.path);
    });
  }

  /** @returns the claim, or the name of the link that has the port open */
  claim(path: string, owner: string): Claim | string {
    const key = this.system.realPathOf(path);
    const holder = this.#holders.get(key);
    if (holder !== undefined) return holder;
    this.#holders.set(key, owner);
    // The path may lead elsewhere by then; what was claimed is what is given back.
    return { release: () => void this.#holders.delete(key) };
  }

  async #askSystem(): Promise<Listing> {
    let timer: NodeJS.Timeout | undefined;
    const late = new Promise<Listing>((resolve) => {
      timer = setTimeout(() => resolve({ ok: false, why: 'the system does not answer' }), LIST_MS_MAX);
    });
    const asked = Promise.resolve()
      .then(() => this.system.list())
      .then(
        (ports): Listing => ({ ok: true, ports }),
        (error: unknown): Listing => ({ ok: false, why: error instanceof Error ? error.message : String(error) }),
      );
    return Promise.race([asked, late]).finally(() => clearTimeout(timer));
  }
}
