/** `postern check`: a rig file looked at, begun, or its schema. */
import { existsSync, readFileSync } from 'node:fs';
import { RIG_SCHEMA_FILE } from '../../rig/index.ts';
import { say } from '../output.ts';
import { DEFAULT_RIG_FILE } from '../rig/default-rig-file.ts';
import { runCheck } from './check.ts';
import { listPorts } from './ports.ts';
import { LISTENER, writeStarter } from './starter.ts';

export interface CheckOptions {
  readonly starter: boolean;
  readonly listen: boolean;
  readonly schema: boolean;
  readonly accept?: string;
}

export async function check(named: string | undefined, { starter, listen, schema, accept }: CheckOptions): Promise<void> {
  if (schema) {
    process.stdout.write(readFileSync(RIG_SCHEMA_FILE, 'utf8'));
    return;
  }
  const rigFile = named ?? DEFAULT_RIG_FILE;
  if (starter || (named === undefined && !existsSync(rigFile))) {
    await writeStarter(rigFile, { out: say, ports: listPorts, ...(listen ? { listen: LISTENER } : {}) });
    return;
  }
  process.exitCode = await runCheck(rigFile, say, undefined, accept);
}
