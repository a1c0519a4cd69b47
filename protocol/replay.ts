/** How a replay stands and what it can be told to do. */
import type { SessionNs } from './record.ts';

/** Times real time; `max` as fast as it goes. */
export type ReplaySpeed = number | 'max';
export const REPLAY_SPEED = { min: 0.01, max: 1000 } as const;

/** A shot of the recorded session, as far as it has been read ahead. */
export interface ReplayShot {
  readonly id: string;
  readonly number: number;
  readonly firedAtNs: SessionNs;
  /** When all of it had come: where a step to this shot goes. */
  readonly closedAtNs: SessionNs;
}

/** What a mark on the session's time line is about. */
export type ReplayMarkKind = 'alarm' | 'hold' | 'link' | 'note' | 'crew' | 'instrument';

/** Something that was told in the recorded session; shots are told apart, as ReplayShot. */
export interface ReplayMark {
  readonly atNs: SessionNs;
  readonly kind: ReplayMarkKind;
  /** One sentence, as the terminal says it. */
  readonly text: string;
  readonly isTrouble: boolean;
}

/** Some of the marks, in the order in which they were told. */
export interface ReplayMarks {
  readonly marks: readonly ReplayMark[];
  /** Of the first of them. */
  readonly from: number;
}

export interface ReplayState {
  readonly playing: boolean;
  readonly speed: ReplaySpeed;
  /** Of the newest record. */
  readonly endNs: SessionNs;
  /** So far the journal has been read ahead: a seek beyond it waits for the reading. */
  readonly readToNs: SessionNs;
  readonly isRead: boolean;
  /** A seek that is under way. */
  readonly seekingNs?: SessionNs;
  /** Those read so far, oldest first. */
  readonly shots: readonly ReplayShot[];
  /** How many marks have been read so far; they are asked for apart. */
  readonly marks: number;
  /** Further ones that are not kept. */
  readonly marksLeftOut?: number;
  /** The rig file that the session is reduced under, where it is not the recorded one. */
  readonly correctedRig?: string;
}

export type ReplayCommand =
  | { readonly do: 'play' }
  | { readonly do: 'pause' }
  | { readonly do: 'speed'; readonly speed: ReplaySpeed }
  | { readonly do: 'seek'; readonly toNs: SessionNs }
  | { readonly do: 'step'; readonly to: 'next' | 'previous' }
  | { readonly do: 'shot'; readonly shotId: string };

/** `why`: one plain sentence. */
export type ReplayAnswer = { readonly accepted: true } | { readonly accepted: false; readonly why: string };

/** A recorded session that a live host replays beside its own, on a port of its own. */
export interface SideReplay {
  readonly sessionId: string;
  readonly port: number;
}

/** `why`: one plain sentence, without its full stop. */
export type SideReplayAnswer = { readonly started: true; readonly replay: SideReplay } | { readonly started: false; readonly why: string };
