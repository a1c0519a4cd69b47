/** Takes what a replay is told from its page, and answers what it is asked. */
import type { ReplayAnswer, ReplayCommand, ReplayMarks, ReplayShot, RigComparison } from '../../../protocol/index.ts';
import type { ReplayDesk } from '../../serve/index.ts';
import { shotIdOf } from '../shots/shot-id.ts';
import type { ReplayPlayer } from './replay-player.ts';
import type { SessionReading } from './session-reading.ts';
import { sessionTimeText } from './session-time.ts';

/** A step back from so soon after a shot goes to the one before it, s of the clock on the wall. */
const JUST_PASSED_S = 2;
/** In one answer. */
const MARKS_AT_ONCE_MAX = 1_000;

export class PlayerDesk implements ReplayDesk {
  readonly #player: ReplayPlayer;
  readonly #reading: SessionReading;
  readonly #comparison: () => RigComparison | undefined;

  constructor(player: ReplayPlayer, reading: SessionReading, comparison: () => RigComparison | undefined) {
    this.#player = player;
    this.#reading = reading;
    this.#comparison = comparison;
  }

  comparison(): RigComparison | undefined {
    return this.#comparison();
  }

  marks(from: number): ReplayMarks {
    return { from, marks: this.#reading.marks.slice(from, MARKS_AT_ONCE_MAX) };
  }

  take(command: ReplayCommand): ReplayAnswer {
    switch (command.do) {
      case 'play':
        this.#player.play();
        return DONE;
      case 'pause':
        this.#player.pause();
        return DONE;
      case 'speed':
        this.#player.setSpeed(command.speed);
        return DONE;
      case 'seek':
        void this.#player.seek(command.toNs);
        return DONE;
      case 'step':
        return command.to === 'next' ? this.#next() : this.#previous();
      case 'shot': {
        const id = shotIdOf(command.shotId, this.#reading.sessionId);
        return this.#goTo(this.#reading.shots.find((shot) => shot.id === id) ?? this.#unread(`There is no shot ${command.shotId}`));
      }
    }
  }

  #next(): ReplayAnswer {
    const later = this.#reading.shots.filter(({ closedAtNs }) => closedAtNs > this.#player.headedNs);
    return this.#goTo(earliest(later) ?? this.#unread('There is no later shot'));
  }

  #previous(): ReplayAnswer {
    const { playing, speed } = this.#player.state;
    const passedNs = playing && speed !== 'max' ? JUST_PASSED_S * 1e9 * speed : 0;
    const before = this.#player.headedNs - passedNs;
    const earlier = this.#reading.shots.filter(({ closedAtNs }) => closedAtNs < before);
    return this.#goTo(latest(earlier) ?? 'There is no earlier shot.');
  }

  /** Pauses there: a step is for looking. */
  #goTo(shot: ReplayShot | string): ReplayAnswer {
    if (typeof shot === 'string') return { accepted: false, why: shot };
    this.#player.pause();
    void this.#player.seek(shot.closedAtNs);
    return DONE;
  }

  #unread(what: string): string {
    const { isWhole, readToNs } = this.#reading;
    return isWhole
      ? `${what} in this session.`
      : `${what} up to ${sessionTimeText(readToNs)}, which is as far as the journal has been read; try again in a moment.`;
  }
}

const DONE: ReplayAnswer = { accepted: true };
const byClosing = (a: ReplayShot, b: ReplayShot): number => a.closedAtNs - b.closedAtNs;
const earliest = (shots: readonly ReplayShot[]): ReplayShot | undefined => [...shots].sort(byClosing)[0];
const latest = (shots: readonly ReplayShot[]): ReplayShot | undefined => [...shots].sort(byClosing).at(-1);
