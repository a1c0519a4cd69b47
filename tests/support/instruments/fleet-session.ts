/** A whole live session over the ten instruments: links, journal, pipeline, store and pages as in `postern run`. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openDataFolder } from '../../../host/cli/data/data-folder.ts';
import { type LiveSession, openLiveSession } from '../../../host/cli/live/live-session.ts';
import type { LinkChange, PipelineEvent } from '../../../protocol/index.ts';
import { BLOCK_SAMPLES, CHANNELS, FLEET, fleetRig, type Mode, VOLT_PER_COUNT } from './fleet.ts';
import { FleetProcess } from './fleet-process.ts';
import { type ChannelCount, countJournal } from './journal-count.ts';
import { Received } from './received.ts';
import type { Counts } from './simulators.ts';

export class FleetSession {
  readonly fleet: FleetProcess;
  readonly #folder: string;
  readonly #session: LiveSession;
  /** Of the gate boards: what the pipeline has handed on. */
  readonly #heard: Map<string, Received>;
  readonly #states: Map<string, LinkChange>;
  readonly #openings: Map<string, number>;
  readonly #clocks: Set<string>;
  readonly #waiting: Waiting;
  #begun: Counts = {};

  static async open(seed: number, mode: Mode = 'count'): Promise<FleetSession> {
    const folder = mkdtempSync(join(tmpdir(), 'postern-instruments-'));
    const wires = join(folder, 'wires');
    mkdirSync(wires);
    const fleet = await FleetProcess.start(wires, { seed, mode });
    const rigFile = join(folder, 'rig.yaml');
    writeFileSync(
      rigFile,
      fleetRig(mode, (name) => join(wires, name)),
    );
    const gateChannels = CHANNELS.filter(({ board }) => FLEET.find(({ name }) => name === board)?.kind === 'gate-board');
    const heard = new Map(gateChannels.map(({ name, modulus }) => [name, new Received(modulus)]));
    const states = new Map<string, LinkChange>();
    const openings = new Map<string, number>();
    const clocks = new Set<string>();
    const waiting = new Waiting();
    const onEvent = (event: PipelineEvent): void => {
      if (event.type === 'samples') {
        const channel = heard.get(event.channel);
        for (const value of event.valuesSi) channel?.add(Math.round(value / VOLT_PER_COUNT));
      } else if (event.type === 'clock') {
        clocks.add(event.source);
      } else if (event.type === 'link') {
        states.set(event.source, event.change);
        if (event.change === 'opened') openings.set(event.source, (openings.get(event.source) ?? 0) + 1);
      }
      waiting.look();
    };
    const session = await openLiveSession({ rigFile, folder: openDataFolder(join(folder, 'data')), port: 0, onEvent });
    return new FleetSession({ fleet, folder, session, heard, states, openings, clocks, waiting });
  }

  private constructor(parts: {
    readonly fleet: FleetProcess;
    readonly folder: string;
    readonly session: LiveSession;
    readonly heard: Map<string, Received>;
    readonly states: Map<string, LinkChange>;
    readonly openings: Map<string, number>;
    readonly clocks: Set<string>;
    readonly waiting: Waiting;
  }) {
    this.fleet = parts.fleet;
    this.#folder = parts.folder;
    this.#session = parts.session;
    this.#heard = parts.heard;
    this.#states = parts.states;
    this.#openings = parts.openings;
    this.#clocks = parts.clocks;
    this.#waiting = parts.waiting;
  }

  get url(): string {
    return this.#session.url;
  }

  /** Resolves once every link runs and every board's clock is fitted: before that a sample has no place in time. */
  async begin(): Promise<void> {
    await this.fleet.tell('begin');
    this.#session.start();
    await this.until('every link runs', () => FLEET.every(({ name }) => this.#states.get(name) === 'running'));
    const clocked = FLEET.filter(({ kind }) => kind === 'gate-board');
    await this.until('every clock is fitted', () => clocked.every(({ name }) => this.#clocks.has(name)));
    this.#begun = (await this.fleet.tell('counts')).counts;
  }

  openings(name: string): number {
    return this.#openings.get(name) ?? 0;
  }

  state(name: string): LinkChange | undefined {
    return this.#states.get(name);
  }

  until(what: string, isSo: () => boolean): Promise<void> {
    return this.#waiting.until(what, isSo);
  }

  /**
   * Resolves once the pipeline has handed on all that the gate boards had sampled between `begin` and the counts, or
   * nobody can hope for it any more: what is missing then shows in the journal.
   */
  async hears(taken: Counts): Promise<void> {
    const isHeard = ([name, received]: readonly [string, Received]): boolean =>
      received.missing(firstAfter(this.#begun[name]), taken[name] ?? 0) === 0;
    await this.until('every sample is handed on', () => [...this.#heard].every(isHeard)).catch(() => undefined);
  }

  /** Samples that the pipeline handed on twice. */
  get twice(): number {
    return [...this.#heard.values()].reduce((sum, { twice }) => sum + twice, 0);
  }

  /** Ends the session and its instruments. @returns what is in its journal */
  async close(): Promise<readonly ChannelCount[]> {
    const { journal } = this.#session;
    await this.#session.close();
    await this.fleet.stop();
    const counts = countJournal(journal);
    rmSync(this.#folder, { recursive: true, force: true });
    return counts;
  }
}

/** Blocks on their way when the clock was fitted may have come before it. */
const firstAfter = (samples = 0): number => samples + BLOCKS_ON_THE_WAY * BLOCK_SAMPLES;
const BLOCKS_ON_THE_WAY = 4;

/** Whoever waits for the session to come to something. */
class Waiting {
  readonly #waiting = new Set<() => void>();

  look(): void {
    for (const look of [...this.#waiting]) look();
  }

  async until(what: string, isSo: () => boolean): Promise<void> {
    if (isSo()) return;
    await new Promise<void>((resolve, reject) => {
      const done = (): void => {
        clearTimeout(timer);
        this.#waiting.delete(look);
      };
      const look = (): void => {
        if (!isSo()) return;
        done();
        resolve();
      };
      const timer = setTimeout(() => {
        done();
        reject(new Error(`waited ${PATIENCE_MS / 1000} s in vain until ${what}`));
      }, PATIENCE_MS);
      this.#waiting.add(look);
    });
  }
}

const PATIENCE_MS = 30_000;
