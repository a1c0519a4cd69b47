/** `npm run dependencies`: writes the tables of docs/dependencies.md anew, after a change of package.json. */
import { readFileSync, writeFileSync } from 'node:fs';
import { withTables } from './dependencies-doc.ts';

const DOC = new URL('../../docs/dependencies.md', import.meta.url);

writeFileSync(DOC, withTables(readFileSync(DOC, 'utf8')));
