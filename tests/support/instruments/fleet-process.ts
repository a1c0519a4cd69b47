/** The simulated instruments' process, as its parent speaks to it. */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import type { Mode } from './fleet.ts';
import type { Answer, Told } from './simulators.ts';

const SIMULATORS = fileURLToPath(new URL('./simulators.ts', import.meta.url));

export class FleetProcess {
  readonly #child: ChildProcess;
  #answered: Promise<unknown> = Promise.resolve();

  private constructor(child: ChildProcess) {
    this.#child = child;
  }

  /** Resolves once every wire is there. @param wires  their folder */
  static async start(wires: string, { seed, mode }: { readonly seed: number; readonly mode: Mode }): Promise<FleetProcess> {
    const child = fork(SIMULATORS, [wires, String(seed), mode], { execArgv: ['--import', 'tsx'] });
    await once(child, 'message');
    return new FleetProcess(child);
  }

  /** @returns what the instruments have come to by then */
  tell(what: Told['what'], name?: string): Promise<Answer> {
    const ask = async (): Promise<Answer> => {
      const answer = once(this.#child, 'message', { signal: AbortSignal.timeout(20_000) });
      this.#child.send({ what, ...(name === undefined ? {} : { name }) } satisfies Told);
      const [told] = (await answer) as [Answer];
      return told;
    };
    const answer = this.#answered.then(ask);
    this.#answered = answer.catch(() => undefined);
    return answer;
  }

  async stop(): Promise<void> {
    const ended = once(this.#child, 'exit');
    await this.tell('stop');
    await ended;
  }
}
