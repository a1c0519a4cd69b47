/**
 * Sends the sessions of a data folder to one server: the one that is running, and beside it those of before that are not
 * all there yet, one after the other. It reads journals only; nothing waits for it.
 */
import { readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import type { SeriesState } from '../../../protocol/index.ts';
import { partsOf } from '../../journal/index.ts';
import {
  type DeliveryPorts,
  type LineSender,
  lineSender,
  lookAtServer,
  PickySender,
  passedOver,
  placeText,
  type SeriesServer,
  tornWarnings,
} from '../../series/index.ts';
import { messageOf } from '../output.ts';
import { DELIVERY_PORTS, Lane } from './lane.ts';
import { openedUtcMs } from './opened.ts';
import { PositionFile } from './position-file.ts';

export interface ExporterOptions {
  readonly server: SeriesServer;
  /** Of the data folder. */
  readonly root: string;
  readonly journals: string;
  /** The session that is running; undefined: only those of before. */
  readonly live?: { readonly sessionId: string; readonly isOver: () => boolean };
  readonly onState?: (state: SeriesState) => void;
  readonly ports?: DeliveryPorts;
}

const STATE_EVERY_MS = 500;
const SAVE_EVERY_MS = 1_000;
const LOOK_EVERY_MS = 30_000;

export class Exporter {
  readonly #options: ExporterOptions;
  readonly #place: string;
  readonly #sender: LineSender;
  readonly #picky: PickySender;
  readonly #positions: PositionFile;
  readonly #lanes = new Map<string, Lane>();
  readonly #done = { taken: 0, refused: 0, thinned: 0 };
  #waiting = 0;
  #warnings: readonly string[] = [];
  /** Of the newest reset: it stands until the end, as what it left does. */
  #torn: readonly string[] = [];
  #problem = '';
  #passedOver: ReadonlyMap<string, number> | undefined;

  /** @throws Error of the system where the file of positions cannot be read or written */
  constructor(options: ExporterOptions) {
    this.#options = options;
    this.#place = placeText(options.server);
    this.#sender = lineSender(options.server, {
      onConnectionLost: () => {
        for (const lane of this.#lanes.values()) lane.connectionLost();
      },
      onReset: () => {
        this.#torn = tornWarnings(options.server, Date.now());
      },
    });
    this.#picky = new PickySender(this.#sender);
    this.#positions = new PositionFile(options.root, this.#place, this.#sinceUtcMs());
    const { live } = options;
    if (live) this.#positions.set(live.sessionId, this.#positions.of(live.sessionId));
    this.#positions.save();
  }

  get state(): SeriesState {
    const lanes = [...this.#lanes.values()];
    const sum = (value: (lane: Lane) => number): number => lanes.reduce((total, lane) => total + value(lane), 0);
    const problem = lanes.map(({ counts }) => counts.problem).find((text) => text !== '');
    const live = this.#options.live && this.#lanes.get(this.#options.live.sessionId);
    const newest = live?.takenUtcMs;
    return {
      server: this.#place,
      state: problem === undefined ? 'sending' : 'waiting',
      problem: problem === undefined ? this.#problem : `The server takes nothing now: ${problem}.`,
      warnings: [...this.#torn, ...this.#warnings].slice(0, 8),
      pointsSent: this.#done.taken + sum(({ counts }) => counts.taken),
      pointsRefused: this.#done.refused + sum(({ counts }) => counts.refused),
      samplesThinned: this.#done.thinned + sum((lane) => lane.thinned),
      refusals: lanes.flatMap(({ counts }) => counts.refusals).slice(-4),
      behindS: newest === undefined ? 0 : Math.max(0, (Date.now() - newest) / 1000),
      sessionsWaiting: this.#waiting,
    };
  }

  /** Resolves when the running session is over and all of it was taken, without one when all those of before are; or at the signal. */
  async run(signal: AbortSignal): Promise<void> {
    const own = new AbortController();
    const stop = AbortSignal.any([signal, own.signal]);
    const telling = setInterval(() => this.#options.onState?.(this.state), STATE_EVERY_MS);
    const saving = setInterval(() => this.#save(), SAVE_EVERY_MS);
    const looking = this.#lookAgain(stop);
    try {
      const before = this.#sendBefore(stop);
      const { live } = this.#options;
      await (live ? this.#sendOne(live.sessionId, live.isOver, stop) : before);
      own.abort();
      await before;
    } finally {
      own.abort();
      clearInterval(telling);
      clearInterval(saving);
      await looking;
      this.#save();
      this.#sender.close();
      this.#options.onState?.(this.state);
    }
  }

  /** The session that is running is the first that is sent, where there is none. */
  #sinceUtcMs(): number {
    const { live, journals } = this.#options;
    return (live && openedUtcMs(join(journals, `${live.sessionId}.mcap`))) ?? Date.now();
  }

  async #sendBefore(signal: AbortSignal): Promise<void> {
    const sessions = this.#sessionsBefore();
    this.#waiting = sessions.length;
    for (const session of sessions) {
      if (signal.aborted) return;
      await this.#sendOne(session, () => true, signal);
      this.#waiting -= 1;
    }
  }

  #sessionsBefore(): readonly string[] {
    const { journals, live } = this.#options;
    const firsts = new Set(
      readdirSync(journals)
        .filter((name) => name.endsWith('.mcap'))
        .map((name) => basename(partsOf(join(journals, name))[0] ?? name, '.mcap')),
    );
    return [...firsts]
      .filter((session) => session !== live?.sessionId && !this.#positions.of(session).ended)
      .filter((session) => (openedUtcMs(join(journals, `${session}.mcap`)) ?? Number.NEGATIVE_INFINITY) >= this.#positions.sinceUtcMs)
      .sort();
  }

  async #sendOne(session: string, isOver: () => boolean, signal: AbortSignal): Promise<void> {
    const { server, journals, ports } = this.#options;
    const from = this.#positions.of(session);
    const lane = new Lane({
      path: join(journals, `${session}.mcap`),
      server,
      sender: this.#picky,
      isOver,
      from,
      ...(ports ? { ports } : {}),
    });
    this.#lanes.set(session, lane);
    try {
      await lane.run(signal);
    } catch (error) {
      // One journal that cannot be read must not keep the others.
      this.#problem = `The journal of session ${session} cannot be sent: ${messageOf(error)}.`;
    } finally {
      // Its last seconds settle while others are sent; the lane is kept for that, as one is small.
      this.#save();
      if (signal.aborted || session !== this.#options.live?.sessionId) await this.#settle(lane, session, signal);
      this.#save();
    }
  }

  /** A session of before is done with once its last batch has settled; that is waited for only while others are not. */
  async #settle(lane: Lane, session: string, signal: AbortSignal): Promise<void> {
    if (!signal.aborted && this.#options.live) {
      while (!lane.position.ended && !signal.aborted) {
        await DELIVERY_PORTS.wait(SAVE_EVERY_MS, signal);
        if (lane.isOwing) await lane.run(signal);
      }
    }
    this.#positions.set(session, lane.position);
    this.#lanes.delete(session);
    this.#done.taken += lane.counts.taken;
    this.#done.refused += lane.counts.refused;
    this.#done.thinned += lane.thinned;
  }

  #save(): void {
    for (const [session, lane] of this.#lanes) this.#positions.set(session, lane.position);
    try {
      this.#positions.save();
      if (this.#problem.startsWith(UNSAVED)) this.#problem = '';
    } catch (error) {
      this.#problem = `${UNSAVED} (${messageOf(error)}); after a restart more is sent again.`;
    }
  }

  async #lookAgain(signal: AbortSignal): Promise<void> {
    while (!signal.aborted) {
      await this.#look();
      await DELIVERY_PORTS.wait(LOOK_EVERY_MS, signal);
    }
  }

  async #look(): Promise<void> {
    const { server } = this.#options;
    const look = await lookAtServer(server);
    if (look.problem !== '') return;
    this.#warnings = [...look.warnings, ...(await this.#newlyPassedOver())];
  }

  /** VictoriaMetrics says "taken" of rows that it passes over, and only counts them. */
  async #newlyPassedOver(): Promise<readonly string[]> {
    try {
      const now = await passedOver(this.#options.server);
      this.#passedOver ??= now;
      const first = this.#passedOver;
      return [...now].flatMap(([reason, count]) => {
        const more = count - (first.get(reason) ?? 0);
        return more > 0 ? [`VictoriaMetrics has passed over ${more} points since this was started (${reason}), ours or another's.`] : [];
      });
    } catch {
      return [];
    }
  }
}

const UNSAVED = 'How far was sent cannot be written down';
