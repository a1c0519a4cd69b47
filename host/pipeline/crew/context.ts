/** What an act or a fact is judged by, beside the crew's own state. Read when it is asked for: most acts ask for nothing. */
import type { Latched, LimitState, SessionNs } from '../../../protocol/index.ts';
import { limitsOf, type Rig } from '../../rig/index.ts';
import { latch } from '../latch.ts';
import type { PipelineState } from '../state.ts';
import { type RecentReading, recentReading } from './recent-reading.ts';
import { own } from './state.ts';

export interface CrewContext {
  readonly rig: Rig;
  readonly sessionId: string;
  /** What a channel reads now; undefined where nothing has come lately. */
  readonly reading: (channel: string) => RecentReading | undefined;
  /** Absolute pressure of the air. */
  readonly ambient: () => Latched;
  /** undefined where there is no such limit. */
  readonly limitState: (id: string) => LimitState | undefined;
  readonly limitIds: () => readonly string[];
}

export function crewContext(state: PipelineState, rig: Rig, atNs: SessionNs): CrewContext {
  return {
    rig,
    sessionId: state.sessionId,
    reading: (channel) => recentReading(state, rig, channel, atNs),
    ambient: () => latch(state, rig, atNs).airPressurePa,
    limitState: (id) => (limitsOf(rig).some((limit) => limit.id === id) ? (own(state.watches.limits, id)?.state ?? 'clear') : undefined),
    limitIds: () => limitsOf(rig).map(({ id }) => id),
  };
}
