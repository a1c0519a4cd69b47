/** A replay into the live page, which can be paused and moved about in while the rest of the journal is read ahead. */
import { basename } from 'node:path';
import { setImmediate as turn } from 'node:timers/promises';
import type { PipelineEvent, ReplaySpeed, RigComparison, SessionNs } from '../../../protocol/index.ts';
import { LiveFeed } from '../../serve/index.ts';
import { type CloseStack, closingAll } from '../close-stack.ts';
import { damageSentence, unreadable } from '../data/journal-records.ts';
import { CommandError, say, warn } from '../output.ts';
import { moveLine, watchLines } from '../serving/address-lines.ts';
import { type Listening, type ListenOptions, listeningOf, outerAddresses } from '../serving/listening.ts';
import { PAGES_DIR, servePages } from '../serving/pages.ts';
import { StopSignal } from '../stop-signal.ts';
import { eventSayer } from '../text/event-lines.ts';
import { curvesOfReplay } from './curves-of-replay.ts';
import { type Begin, foundIn } from './lines-from.ts';
import type { CorrectedRig } from './recorded-fold.ts';
import { RecordedShots } from './recorded-shots.ts';
import { PlayerDesk } from './replay-desk.ts';
import { ReplayPlayer } from './replay-player.ts';
import type { Replayed } from './replayed.ts';
import { compareRigs } from './rig-comparison.ts';
import { rigFileOfReplay } from './rig-file-of-replay.ts';
import { SessionReading } from './session-reading.ts';
import { sessionTimeText } from './session-time.ts';
import { shotsOfReplay } from './shots-of-replay.ts';

/** So long before its firing a replay from a shot begins. */
const BEFORE_SHOT_NS = 5e9;
const SLICE_MS = 50;

export interface OnPageOptions extends ListenOptions {
  readonly pace: ReplaySpeed;
  readonly begin: Begin;
  readonly exit: boolean;
  readonly corrected: CorrectedRig | undefined;
  readonly quiet: boolean;
  /** Already worked out, where it replays beside a host. */
  readonly listening?: Listening;
  readonly onServed?: (port: number) => void;
  /** Ends it too. */
  readonly until?: Promise<void>;
}

export function replayOnPage(journal: string, options: OnPageOptions): Promise<Replayed> {
  return closingAll(async (parts) => {
    const stop = new StopSignal();
    parts.add(() => stop.close());
    const { corrected, quiet } = options;
    const recorded = corrected ? new RecordedShots() : undefined;
    const reading = openReading(journal, corrected, recorded, parts);
    const beginNs = await beginningOf(reading, options.begin);
    if (reading.isWhole && reading.sessionId === '') return { sessionId: '', shots: [], recorded };

    const feed = new LiveFeed({ mode: 'replay' });
    let sayEvent = eventSayer();
    const onEvent = (event: PipelineEvent): void => {
      if (!quiet) sayEvent(event);
    };
    const onMoved = (toNs: SessionNs): void => {
      // What was said before says nothing of where it is now.
      sayEvent = eventSayer();
      if (!quiet) say(`At ${sessionTimeText(toNs)}.`);
    };
    const player = new ReplayPlayer({ feed, reading, corrected, onEvent, onMoved }, { speed: options.pace, playing: true });
    const comparison = (): RigComparison | undefined =>
      recorded && corrected
        ? compareRigs(
            reading.sessionId,
            { rigFile: recorded.rigFile, shots: recorded.all },
            { rigFile: corrected.fileName, shots: reading.shotsAt(reading.readToNs) },
          )
        : undefined;
    const desk = new PlayerDesk(player, reading, comparison);
    const store = shotsOfReplay(reading, () => player.nowNs);
    const listening = options.listening ?? listeningOf(options);
    const addresses = (port: number) => outerAddresses(listening, port);
    const rigFile = rigFileOfReplay(reading, corrected);
    const nowNs = (): SessionNs => player.nowNs;
    const curves = curvesOfReplay(reading, nowNs, parts);
    const server = await servePages({ feed, replay: desk, store, ...curves, rigFile, ...listening, addresses, pagesDir: PAGES_DIR, nowNs });
    parts.add(() => server.close());
    options.onServed?.(server.port);
    if (!quiet) {
      for (const line of watchLines(server, listening, `Replaying ${basename(journal)} at ${paceText(options.pace)}`)) say(line);
      say(`${moveLine(server, listening)} Ctrl-C ends it.`);
    }
    const ended = new Promise<void>((resolve) => {
      player.onEnd = () => {
        if (options.exit) resolve();
        else if (!quiet) say('The end of the journal. The page stays until Ctrl-C; from there any moment can be gone back to.');
      };
    });
    parts.add(() => player.close());
    player.start();
    if (beginNs > 0) void player.seek(beginNs);
    await Promise.race([stop.asked, ended, player.failed, ...(options.until ? [options.until] : [])]);
    return { sessionId: reading.sessionId, shots: reading.shotsAt(player.nowNs), recorded };
  });
}

function openReading(
  journal: string,
  corrected: CorrectedRig | undefined,
  recorded: RecordedShots | undefined,
  parts: CloseStack,
): SessionReading {
  try {
    const reading = new SessionReading(journal, {
      corrected,
      onDamage: (damage) => warn(damageSentence(damage)),
      ...(recorded ? { onRecord: (record) => recorded.take(record), onWhole: () => recorded.finish() } : {}),
    });
    parts.add(() => reading.close());
    return reading;
  } catch (error) {
    throw unreadable(journal, error);
  }
}

/** Reads ahead to it where that needs reading. */
async function beginningOf(reading: SessionReading, { from, shot }: Begin): Promise<SessionNs> {
  // A file that holds no session is told before anything is served.
  while (reading.sessionId === '' && reading.readFor(SLICE_MS)) await turn();
  if (from !== undefined) {
    if (from <= reading.endNs) return from;
    throw new CommandError(`--from ${sessionTimeText(from)} is past the session's end, which is at ${sessionTimeText(reading.endNs)}.`, 2);
  }
  if (shot === undefined || reading.sessionId === '') return 0;
  const isRead = (): boolean => reading.shots.some(({ id, number }) => id === shot || String(number) === String(Number(shot)));
  if (!isRead()) say(`Reading ahead to shot ${shot} …`);
  while (!isRead() && reading.readFor(SLICE_MS)) await turn();
  return Math.max(0, foundIn(shot, reading.sessionId, reading.shots).firedAtNs - BEFORE_SHOT_NS);
}

const paceText = (pace: ReplaySpeed): string => (pace === 'max' ? 'as fast as it goes' : `${pace} times real time`);
