/** `npm run schema`: writes the rig file's JSON Schema anew, after a change of the schema, the units or docs/rig-file.md. */
import { writeFileSync } from 'node:fs';
import { RIG_SCHEMA_FILE } from '../rig/index.ts';
import { rigJsonSchema } from './rig-json-schema.ts';

writeFileSync(RIG_SCHEMA_FILE, `${JSON.stringify(rigJsonSchema(), undefined, 2)}\n`);
