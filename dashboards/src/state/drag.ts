/** What the host says of the drag. */
import type { DragReport } from '../../../protocol/index.ts';
import { fetchedReport } from './asked.ts';

export const drag = fetchedReport<DragReport>('/api/drag');
