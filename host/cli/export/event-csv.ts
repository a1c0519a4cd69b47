import type { ExportedEvent } from '../../store/index.ts';
import { csvLine } from '../text/csv.ts';
import { utcNsText } from './utc-ns-text.ts';

export const EVENT_HEADER = csvLine(['session', 'rig', 'session time (ns)', 'time (UTC)', 'type', 'about', 'event (JSON)']);

export const eventLine = ({ session, rig, atNs, utcNs, type, about, eventJson }: ExportedEvent): string =>
  csvLine([session, rig, atNs, utcNs === undefined ? undefined : utcNsText(utcNs), type, about, eventJson]);
