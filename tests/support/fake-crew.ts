/** A desk for the crew's acts without a pipeline: keeps what was sent, and answers with the events that would follow. */
import type { HoldPointState, HoldPointsEvent, Impact, OperatorAct, PipelineEvent } from '../../protocol/index.ts';
import { FAKE_RIG } from './fake-rig.ts';
import { limitEvent } from './fake-watches.ts';

export class FakeCrew {
  readonly acts: OperatorAct[] = [];
  #points: readonly HoldPointState[] = FAKE_RIG.holdPoints.map(({ id, name, by }) => ({
    id,
    name,
    by,
    done: false,
    sinceNs: 0,
    who: '',
    detail: by === 'condition' ? 'not yet settled' : '',
  }));
  #impacts: readonly Impact[] = [];

  holdPoints(atNs: number): HoldPointsEvent {
    return { type: 'hold-points', atNs, ready: this.#points.every(({ done }) => done), points: this.#points };
  }

  /** The instruments see that a condition holds, or no longer does. */
  condition(id: string, done: boolean, atNs: number): HoldPointsEvent {
    this.#set(id, { done, sinceNs: atNs, detail: done ? 'within the band' : 'not yet settled' });
    return this.holdPoints(atNs);
  }

  take(act: OperatorAct, atNs: number): readonly PipelineEvent[] {
    this.acts.push(act);
    switch (act.act) {
      case 'hold-point':
        this.#set(act.holdPointId, { done: act.done, sinceNs: atNs, who: act.who });
        return [this.holdPoints(atNs)];
      case 'acknowledge':
        return [limitEvent(atNs, 'active-acknowledged', { id: act.limitId, was: 'active', audible: false, acknowledgedBy: act.who })];
      case 'note':
        return [
          {
            type: 'note',
            atNs,
            text: act.text,
            ...(act.who ? { who: act.who } : {}),
            ...(act.shotId ? { shotId: act.shotId } : {}),
            ...(act.sessionId ? { sessionId: act.sessionId } : {}),
          },
        ];
      case 'zero':
      case 'calibrate':
        return [{ type: 'adjusted', atNs, channel: act.channel, act: act.act, before: act.before, after: act.after, who: act.who }];
      case 'impact':
        this.#impacts = [...this.#impacts, { shotId: act.shotId, at: act.at }];
        return [{ type: 'impacts', atNs, impacts: this.#impacts, holdNext: { rightM: -act.at.rightM, upM: -act.at.upM } }];
      case 'exclude':
        this.#impacts = this.#impacts.map(({ shotId, at }) => ({
          shotId,
          at,
          ...(shotId === act.shotId && act.excluded ? { excluded: true as const } : {}),
        }));
        return [
          {
            type: 'shot-excluded',
            atNs,
            shotId: act.shotId,
            ...(act.sessionId ? { sessionId: act.sessionId } : {}),
            excluded: act.excluded,
            reason: act.reason,
            who: act.who,
          },
          { type: 'impacts', atNs, impacts: this.#impacts },
        ];
      default:
        return [];
    }
  }

  #set(id: string, change: Partial<HoldPointState>): void {
    this.#points = this.#points.map((point) => (point.id === id ? { ...point, ...change } : point));
  }
}
