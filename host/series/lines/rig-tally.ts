/** How the rig is, counted over a session's events: one point every five seconds is what a list of rigs is read from. */
import type { PipelineEvent } from '../../../protocol/index.ts';
import type { FieldsOf } from './point.ts';

export const RIG_STATE_EVERY_NS = 5e9;

interface Counts {
  readonly links: ReadonlyMap<string, boolean>;
  /** Severity of each limit that is passed. */
  readonly limits: ReadonlyMap<string, 'alarm' | 'warning'>;
  /** Of closed shots, so that one told again counts once. */
  readonly shots: number;
}

export class RigTally {
  readonly #links: Map<string, boolean>;
  readonly #limits: Map<string, 'alarm' | 'warning'>;
  #shots: number;

  constructor({ links, limits, shots }: Counts = { links: new Map(), limits: new Map(), shots: 0 }) {
    this.#links = new Map(links);
    this.#limits = new Map(limits);
    this.#shots = shots;
  }

  take(event: PipelineEvent): void {
    if (event.type === 'session') {
      // Under another rig file there may be other links; those that are known keep their state.
      const names = new Set(event.rig.boards.map(({ name }) => name));
      for (const name of this.#links.keys()) if (!names.has(name)) this.#links.delete(name);
      for (const name of names) if (!this.#links.has(name)) this.#links.set(name, false);
      this.#limits.clear();
    } else if (event.type === 'link') this.#links.set(event.source, event.change === 'running');
    else if (event.type === 'limit') {
      if (event.state.startsWith('active')) this.#limits.set(event.id, event.severity);
      else this.#limits.delete(event.id);
    } else if (event.type === 'shot' && event.phase === 'closed') this.#shots = Math.max(this.#shots, event.shot.number);
  }

  fields(open: boolean, session: string): FieldsOf<'rig_state'> {
    const up = [...this.#links.values()].filter((isUp) => isUp).length;
    const severities = [...this.#limits.values()];
    return {
      open: open ? 1 : 0,
      links_up: up,
      links_down: this.#links.size - up,
      alarms: severities.filter((severity) => severity === 'alarm').length,
      warnings: severities.filter((severity) => severity === 'warning').length,
      shots: this.#shots,
      session,
    };
  }

  copy(): RigTally {
    return new RigTally({ links: this.#links, limits: this.#limits, shots: this.#shots });
  }
}
