/** A running session in the same data folder, as commands talk to it: its address and token are in the host file. */
import type { ActAnswer, AdjustmentProposal, ChannelShown, OperatorAct, Shot, SnapshotMessage } from '../../../protocol/index.ts';
import { type DataFolder, openDataFolder } from '../data/data-folder.ts';
import { type HostFile, keyOf, readHostFile } from '../data/host-file.ts';
import { CommandError } from '../output.ts';

const ANSWER_MS_MAX = 10_000;

export class HostSession {
  readonly #host: HostFile;
  readonly #data: string;

  private constructor(host: HostFile, data: string) {
    this.#host = host;
    this.#data = data;
  }

  /** @throws CommandError where no session has left its address there */
  static find(data: string): HostSession {
    return new HostSession(hostOf(openDataFolder(data), data), data);
  }

  snapshot(): Promise<SnapshotMessage> {
    return this.#ask('/api/state');
  }

  /** @throws CommandError where there is none */
  shot(id: string): Promise<Shot> {
    return this.#ask(`/api/shots/${encodeURIComponent(id)}`);
  }

  shown(channel: string): Promise<ChannelShown> {
    return this.#ask(`/api/channels/${encodeURIComponent(channel)}`);
  }

  zero(channel: string, shouldReadSi: number): Promise<AdjustmentProposal> {
    return this.#ask(`/api/channels/${encodeURIComponent(channel)}/zero?should=${shouldReadSi}`);
  }

  calibration(
    channel: string,
    points: readonly { readonly shownSi: number; readonly shouldReadSi: number }[],
  ): Promise<AdjustmentProposal> {
    const query = points.map(({ shownSi, shouldReadSi }) => `point=${shownSi},${shouldReadSi}`).join('&');
    return this.#ask(`/api/channels/${encodeURIComponent(channel)}/calibration?${query}`);
  }

  /** @throws CommandError with the host's sentence where it is refused */
  async do(act: OperatorAct): Promise<void> {
    const headers = { 'content-type': 'application/json' };
    const answer = await this.#ask<ActAnswer>('/api/acts', { method: 'POST', headers, body: JSON.stringify(act) });
    if (!answer.accepted) throw new CommandError(`Not done: ${answer.why}.`);
  }

  async #ask<T>(path: string, init: RequestInit & { readonly headers?: Record<string, string> } = {}): Promise<T> {
    let answer: Response;
    let body: unknown;
    try {
      const headers = { ...init.headers, ...keyOf(this.#host) };
      answer = await fetch(new URL(path, this.#host.url), { ...init, headers, signal: AbortSignal.timeout(ANSWER_MS_MAX) });
      body = await answer.json();
    } catch (error) {
      throw new CommandError(`The session in ${this.#data} does not answer at ${this.#host.url}; is it still running?`, 1, {
        cause: error,
      });
    }
    if (answer.ok) return body as T;
    const { message } = body as { readonly message?: unknown };
    throw new CommandError(`Not done: ${typeof message === 'string' ? message : `the host answered ${answer.status}`}.`);
  }
}

function hostOf(folder: DataFolder, data: string): HostFile {
  try {
    return readHostFile(folder);
  } catch (error) {
    const hint = 'start one with postern run, or name its folder with --data (that of the demo is ./postern-data/demo)';
    throw new CommandError(`No session is running in ${data}; ${hint}.`, 1, { cause: error });
  }
}
