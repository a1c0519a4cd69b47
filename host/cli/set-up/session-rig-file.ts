/** The rig file of a live session: as it is in force, and as it lies on disk now. */
import { basename } from 'node:path';
import type { RigFileCheck, RigFileInForce, RigFinding } from '../../../protocol/index.ts';
import type { RigFileDesk } from '../../serve/index.ts';
import { checkRig, examineRigFile } from '../check/check.ts';

export class SessionRigFile implements RigFileDesk {
  readonly #path: string;
  readonly #asked: string | undefined;
  readonly #inForce: RigFileInForce;
  /** One look at the disk at a time, whoever asks meanwhile. */
  #checking: Promise<RigFileCheck> | undefined;

  /** @param asked  the file of what is asked of the session's shots, where there is one */
  constructor(path: string, text: string, asked?: string) {
    const fileName = basename(path);
    this.#path = path;
    this.#asked = asked;
    this.#inForce = { fileName, text, lines: checkRig(text, fileName).lines };
  }

  inForce(): RigFileInForce {
    return this.#inForce;
  }

  check(): Promise<RigFileCheck> {
    this.#checking ??= this.#check().finally(() => {
      this.#checking = undefined;
    });
    return this.#checking;
  }

  async #check(): Promise<RigFileCheck> {
    const { text, problems, lines } = await examineRigFile(this.#path, undefined, this.#asked);
    const { fileName } = this.#inForce;
    return { fileName, text: text ?? null, isInForce: text === this.#inForce.text, findings: problems.map(findingOf), lines };
  }
}

const findingOf = ({ line, column, path, message }: RigFinding): RigFinding => ({ line, column, path, message });
