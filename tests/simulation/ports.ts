/** The ports of the simulated machine: the serial library's own stream over a binding that leads to a board in range time. */
import { SerialPort } from 'serialport';
import type { MemoryLine } from '../../firmware-sim/wires/memory.ts';
import type { PortSystem } from '../../host/links/index.ts';

/** What the system keeps of a port that nobody reads; more is lost, as in a UART's driver. */
const KERNEL_BYTES_MAX = 64 * 1024;

interface OpenOptions {
  readonly path: string;
  readonly baudRate: number;
}

interface Reading {
  readonly buffer: Buffer;
  readonly offset: number;
  readonly length: number;
  readonly resolve: (done: { readonly bytesRead: number; readonly buffer: Buffer }) => void;
  readonly reject: (error: Error) => void;
}

export interface SimulatedPortSetup {
  readonly path: string;
  readonly line: MemoryLine;
  readonly nowS: () => number;
  /** What becomes of the host's bytes on their way. */
  readonly toBoard: (bytes: Uint8Array) => Uint8Array;
}

export class SimulatedPort {
  readonly path: string;
  readonly #setup: SimulatedPortSetup;
  #isPlugged = true;
  #plugs = 1;
  #opening: Opening | undefined;
  /** Arrived at the adapter, and held there. */
  #held: Uint8Array[] = [];
  #heldUntilS = 0;
  /** Another program has it open. */
  isBusy = false;
  /** It was asked for and refused. */
  onRefused: () => void = () => undefined;

  constructor(setup: SimulatedPortSetup) {
    this.path = setup.path;
    this.#setup = setup;
  }

  get identity(): string | undefined {
    return this.#isPlugged ? `plug ${this.#plugs}` : undefined;
  }

  get isOpen(): boolean {
    return this.#opening !== undefined;
  }

  get holdsBytes(): boolean {
    return this.#held.length > 0;
  }

  /** Nothing of what comes from the board goes on to the host before then. */
  holdUntil(untilS: number): void {
    this.#heldUntilS = Math.max(this.#heldUntilS, untilS);
  }

  /** Takes board and line along. @returns true where bytes have come to the system */
  advanceTo(timeS: number): boolean {
    for (const { bytes } of this.#setup.line.advanceTo(timeS)) this.#held.push(bytes);
    if (timeS < this.#heldUntilS || this.#held.length === 0) return false;
    const arrived = this.#held;
    this.#held = [];
    for (const bytes of arrived) this.#opening?.arrive(bytes);
    return this.#opening !== undefined;
  }

  /** Whoever waits for bytes gets what there is. @returns true where somebody got some */
  deliver(): boolean {
    return this.#opening?.deliver() ?? false;
  }

  setPlugged(plugged: boolean): void {
    if (plugged === this.#isPlugged) return;
    this.#isPlugged = plugged;
    this.#setup.line.setPlugged(plugged, this.#setup.nowS());
    this.#held = [];
    if (plugged) this.#plugs += 1;
    else this.#opening?.pull();
    if (!plugged) this.#opening = undefined;
  }

  /** The process that had it open is no more. */
  abandon(): void {
    this.#opening?.abandon();
    this.#opening = undefined;
  }

  async open(openOptions: OpenOptions): Promise<Opening> {
    if (!this.#isPlugged) {
      this.onRefused();
      throw new Error(`Error: No such file or directory, cannot open ${this.path}`);
    }
    if (this.isBusy || this.#opening !== undefined) {
      this.onRefused();
      throw new Error('Error Resource temporarily unavailable Cannot lock port');
    }
    const opening: Opening = new Opening(openOptions, {
      write: (bytes) => this.#setup.line.send(this.#setup.toBoard(bytes), this.#setup.nowS()),
      closed: () => {
        if (this.#opening === opening) this.#opening = undefined;
      },
    });
    this.#opening = opening;
    return opening;
  }
}

/** One opening, as the serial library's binding hands it out. */
class Opening {
  readonly openOptions: OpenOptions;
  isOpen = true;
  readonly #ends: { readonly write: (bytes: Uint8Array) => void; readonly closed: () => void };
  #waiting: Uint8Array[] = [];
  #waitingBytes = 0;
  #reading: Reading | undefined;
  #isPulled = false;
  #isAbandoned = false;

  constructor(openOptions: OpenOptions, ends: { readonly write: (bytes: Uint8Array) => void; readonly closed: () => void }) {
    this.openOptions = openOptions;
    this.#ends = ends;
  }

  arrive(bytes: Uint8Array): void {
    if (this.#waitingBytes + bytes.length > KERNEL_BYTES_MAX) return;
    this.#waiting.push(bytes);
    this.#waitingBytes += bytes.length;
  }

  deliver(): boolean {
    const reading = this.#reading;
    if (reading === undefined || this.#waitingBytes === 0 || this.#isAbandoned) return false;
    this.#reading = undefined;
    const all = Buffer.concat(this.#waiting);
    const bytesRead = Math.min(all.length, reading.length);
    all.copy(reading.buffer, reading.offset, 0, bytesRead);
    this.#waiting = bytesRead < all.length ? [all.subarray(bytesRead)] : [];
    this.#waitingBytes = all.length - bytesRead;
    reading.resolve({ bytesRead, buffer: reading.buffer });
    return true;
  }

  pull(): void {
    this.#isPulled = true;
    const reading = this.#reading;
    this.#reading = undefined;
    reading?.reject(new Error('the device is gone'));
  }

  abandon(): void {
    this.#isAbandoned = true;
    this.#reading = undefined;
  }

  read(buffer: Buffer, offset: number, length: number): Promise<{ readonly bytesRead: number; readonly buffer: Buffer }> {
    if (!this.isOpen) return Promise.reject(canceled());
    if (this.#isPulled) return Promise.reject(new Error('the device is gone'));
    return new Promise((resolve, reject) => {
      this.#reading = { buffer, offset, length, resolve, reject };
    });
  }

  write(bytes: Buffer): Promise<void> {
    if (this.#isAbandoned) return new Promise(() => undefined);
    if (!this.isOpen) return Promise.reject(canceled());
    if (this.#isPulled) return Promise.reject(new Error('the device is gone'));
    this.#ends.write(Uint8Array.from(bytes));
    return Promise.resolve();
  }

  close(): Promise<void> {
    this.isOpen = false;
    const reading = this.#reading;
    this.#reading = undefined;
    reading?.reject(canceled());
    if (!this.#isAbandoned) this.#ends.closed();
    return Promise.resolve();
  }

  async update(): Promise<void> {}
  async set(): Promise<void> {}
  async flush(): Promise<void> {}
  async drain(): Promise<void> {}
  async get(): Promise<{ readonly cts: boolean; readonly dsr: boolean; readonly dcd: boolean }> {
    return { cts: false, dsr: false, dcd: false };
  }
  async getBaudRate(): Promise<{ readonly baudRate: number }> {
    return { baudRate: this.openOptions.baudRate };
  }
}

const canceled = (): Error => Object.assign(new Error('the port was closed'), { canceled: true });

export function portSystem(ports: ReadonlyMap<string, SimulatedPort>): PortSystem {
  return {
    list: async () => [...ports.values()].filter(({ identity }) => identity !== undefined).map(({ path }) => ({ path })),
    identityOf: (path) => ports.get(path)?.identity,
    realPathOf: (path) => path,
    create: ({ path, baudRate }) => {
      const binding = {
        list: async () => [],
        open: async (options: OpenOptions): Promise<Opening> => {
          const port = ports.get(path);
          if (port === undefined) throw new Error(`Error: No such file or directory, cannot open ${path}`);
          return port.open(options);
        },
      };
      // The library takes any binding; its types name only those of real systems.
      return new SerialPort({ path, baudRate, autoOpen: false, binding: binding as unknown } as { path: string; baudRate: number });
    },
  };
}
