/** What an address asks of the past, checked: whatever stands in it, it becomes a bounded question or a sentence. */
import { SPAN_CHANNELS_MAX, SPAN_POINTS_MAX } from '../../store/index.ts';

export interface HistoryQuery {
  readonly session: string;
  /** undefined: all of the session's rig. */
  readonly channels: readonly string[] | undefined;
  readonly fromNs: number;
  readonly toNs: number;
  readonly points: number;
}

export type HistoryText = Readonly<Record<'session' | 'channels' | 'from' | 'to' | 'points', unknown>>;

const POINTS_DEFAULT = 1_000;
const SESSION = /^[A-Za-z0-9][A-Za-z0-9_-]{0,79}$/;
const SECONDS = /^\d{1,8}(?:\.\d{1,9})?$/;
const NAME_CHARACTERS_MAX = 100;

/** @returns a sentence where it cannot be answered */
export function historyQuery(text: HistoryText, sessionNow: string | undefined): HistoryQuery | string {
  const session = text.session ?? sessionNow;
  if (typeof session !== 'string' || !SESSION.test(session)) return 'session must name a session, such as one that /api/sessions lists';
  const [from, to] = [secondsOf(text.from), secondsOf(text.to)];
  if (from === undefined || to === undefined || from >= to) {
    return 'from and to must be seconds of the session, such as from=60&to=3660.5, the second the larger';
  }
  const points = text.points ?? String(POINTS_DEFAULT);
  if (typeof points !== 'string' || !/^[1-9]\d{0,3}$/.test(points) || Number(points) > SPAN_POINTS_MAX) {
    return `points must be a whole number from 1 to ${SPAN_POINTS_MAX}`;
  }
  const channels = channelsOf(text.channels);
  if (channels === null) return `channels must be 1 to ${SPAN_CHANNELS_MAX} names with commas between`;
  return { session, channels, fromNs: Math.round(from * 1e9), toNs: Math.round(to * 1e9), points: Number(points) };
}

const secondsOf = (text: unknown): number | undefined => (typeof text === 'string' && SECONDS.test(text) ? Number(text) : undefined);

/** null: not to be had. */
function channelsOf(text: unknown): readonly string[] | undefined | null {
  if (text === undefined) return undefined;
  if (typeof text !== 'string') return null;
  const names = [...new Set(text.split(','))];
  const isSound = names.length <= SPAN_CHANNELS_MAX && names.every((name) => name.length > 0 && name.length <= NAME_CHARACTERS_MAX);
  return isSound ? names : null;
}
