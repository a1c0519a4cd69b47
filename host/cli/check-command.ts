/** `postern check`: a rig file looked at, begun, or its schema. */
import { existsSync, readFileSync } from 'node:fs';
import { RIG_SCHEMA_FILE } from '../rig/index.ts';
import { runCheck } from './check.ts';
import { say } from './output.ts';
import { listPorts } from './ports.ts';
import { LISTENER, writeStarter } from './starter/starter.ts';

export interface CheckOptions {
  readonly starter: boolean;
  readonly listen: boolean;
  readonly schema: boolean;
}

/** What is looked at where no name is given, and begun where it is not there. */
export const DEFAULT_RIG_FILE = 'rig.yaml';

export async function check(named: string | undefined, { starter, listen, schema }: CheckOptions): Promise<void> {
  if (schema) {
    process.stdout.write(readFileSync(RIG_SCHEMA_FILE, 'utf8'));
    return;
  }
  const rigFile = named ?? DEFAULT_RIG_FILE;
  if (starter || (named === undefined && !existsSync(rigFile))) {
    await writeStarter(rigFile, { out: say, ports: listPorts, ...(listen ? { listen: LISTENER } : {}) });
    return;
  }
  process.exitCode = await runCheck(rigFile, say);
}
