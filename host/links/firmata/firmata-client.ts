/**
 * The one Firmata and the one johnny-five board of a link, for the link's whole life: connections come and go beneath
 * them. Made anew for each connection they would pile up: both libraries keep what was ever made.
 *
 * johnny-five gives the board: its pins, its two-wire bus, its sampling. Not its sensor classes, which repeat the
 * last value on timers of their own for ever, also after the cable is out.
 */
import type { EventEmitter } from 'node:events';
import firmataIo, { type Firmata } from 'firmata-io';
import five, { type Board } from 'johnny-five';
import { type ByteSink, GuardedTransport } from './guarded-transport.ts';
import { ASK, type Identity, shakeHands } from './handshake.ts';
import { I2cRequests } from './i2c-requests.ts';
import { heard } from './waiting.ts';

export interface ClientTiming {
  readonly askMs: number;
  readonly answerMs: number;
  readonly i2cMs: number;
}

export interface ClientPorts {
  /** A message that the library could not read, or one that the board should not send. */
  readonly onFault: (detail: string) => void;
}

/** Counts by channel, as many as came before one channel came again. */
export type AnalogCounts = ReadonlyMap<number, number>;

/** A timer never to fire: the library would ask for the version itself, once. */
const NEVER_MS = 2 ** 31 - 1;
const CHANNELS = 16;
/** Two bytes of 7 bits. */
const MESSAGE_FULL_SCALE = 2 ** 14 - 1;

export class FirmataClient {
  readonly #transport: GuardedTransport;
  readonly #io: Firmata;
  readonly #timing: ClientTiming;
  #board: Board | undefined;
  #i2c: I2cRequests | undefined;
  /** Taken out after each arrival: what follows from them is not for the library's own stack, where a throw is a fault of the line. */
  #arrived: [channel: number, counts: number][] = [];

  constructor(timing: ClientTiming, ports: ClientPorts) {
    this.#timing = timing;
    this.#transport = new GuardedTransport(ports.onFault);
    // Abilities are asked for by us, each time anew: another board may be on the cable.
    this.#io = new firmataIo.Firmata(this.#transport, { reportVersionTimeout: NEVER_MS, skipCapabilities: true });
    clearTimeout(this.#io.reportVersionTimeoutId);
    this.#io.on('error', (error: Error) => ports.onFault(error.message));
    this.#io.on('string', (text: string) => {
      // At once: the answer that is not to be believed may stand right behind it in the same arrival.
      if (/I2C/.test(text)) this.#i2c?.fail();
      else ports.onFault('the board sent a text');
    });
    for (let channel = 0; channel < CHANNELS; channel++) {
      this.#io.on(`analog-read-${channel}`, (counts: number) => this.#arrived.push([channel, counts]));
    }
  }

  /** The largest count that the board's converter gives; as far as a message carries where it says nothing, or nothing true. */
  get fullScale(): number {
    const told = this.#io.RESOLUTION.ADC ?? 0;
    return told > 0 && told < MESSAGE_FULL_SCALE ? told : MESSAGE_FULL_SCALE;
  }

  /** @throws Error before the first handshake has succeeded (caller's bug) */
  get i2c(): I2cRequests {
    if (this.#i2c === undefined) throw new Error('no handshake yet');
    return this.#i2c;
  }

  /** Whoever listens, for a test that none pile up. */
  get emitters(): readonly EventEmitter[] {
    return [this.#transport, this.#io, ...(this.#board ? [this.#board] : [])];
  }

  attach(sink: ByteSink): void {
    this.#io.buffer.length = 0;
    // Until the version has come, the library takes nothing for an answer.
    this.#io.versionReceived = false;
    this.#transport.attach(sink);
  }

  detach(): void {
    this.#transport.detach();
  }

  /** @returns what the analog pins said in this arrival, in order */
  receive(bytes: Uint8Array): readonly AnalogCounts[] {
    this.#transport.receive(bytes, this.#io.buffer);
    const groups: Map<number, number>[] = [];
    for (const [channel, counts] of this.#arrived.splice(0)) {
      const last = groups.at(-1);
      if (last === undefined || last.has(channel)) groups.push(new Map([[channel, counts]]));
      else last.set(channel, counts);
    }
    return groups;
  }

  /** @returns undefined where no Firmata board answered in time, or upon the signal */
  async handshake(signal: AbortSignal): Promise<Identity | undefined> {
    const identity = await shakeHands(this.#io, this.#transport, this.#timing, signal);
    if (identity === undefined || signal.aborted) return undefined;
    return (await this.#ready(signal)) ? identity : undefined;
  }

  /** Asks for the version: any board that lives answers. */
  ask(): void {
    this.#transport.write(ASK.version);
  }

  /** @returns the wanted channels that the board does not have */
  startAnalog(wanted: readonly number[], samplingIntervalMs: number): readonly number[] {
    this.#board?.samplingInterval(samplingIntervalMs);
    const has = new Set(this.#io.pins.flatMap(({ analogChannel }) => analogChannel ?? []));
    for (let channel = 0; channel < CHANNELS; channel++) {
      // Off too: an earlier host may have left them on.
      if (has.has(channel)) this.#io.reportAnalogPin(channel, wanted.includes(channel) ? 1 : 0);
    }
    return wanted.filter((channel) => !has.has(channel));
  }

  close(): void {
    this.#transport.detach();
    for (const emitter of this.emitters) emitter.removeAllListeners();
    const at = this.#board ? five.Board.cache.indexOf(this.#board) : -1;
    if (at >= 0) five.Board.cache.splice(at, 1);
  }

  async #ready(signal: AbortSignal): Promise<boolean> {
    if (this.#board !== undefined) return true;
    const board = new five.Board({ io: this.#io, repl: false, debug: false, sigint: false });
    this.#board = board;
    board.on('error', () => {
      // The library's own time limit and the port's errors; both are ours to watch.
    });
    this.#i2c = new I2cRequests(board, this.#io, { answerMs: this.#timing.i2cMs, askInOrder: () => this.#transport.write(ASK.firmware) });
    return heard(board, 'ready', this.#timing.answerMs, signal);
  }
}
