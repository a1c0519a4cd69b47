/** `postern check`: a rig file looked at, begun, or its schema. */
import { existsSync, readFileSync } from 'node:fs';
import { RIG_SCHEMA_FILE } from '../rig/index.ts';
import { runCheck } from './check.ts';
import { DEFAULT_RIG_FILE } from './default-rig-file.ts';
import { say } from './output.ts';
import { listPorts } from './ports.ts';
import { LISTENER, writeStarter } from './starter/starter.ts';

export interface CheckOptions {
  readonly starter: boolean;
  readonly listen: boolean;
  readonly schema: boolean;
}

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
