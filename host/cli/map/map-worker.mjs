// A thread does not read TypeScript by itself, as the process does: it is taught to first.
import { register } from 'tsx/esm/api';

register();
await import('./map-worker.ts');
