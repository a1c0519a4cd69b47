import type { FuzzTarget } from '../target.ts';
import { http } from './http.ts';
import { journal } from './journal.ts';
import { live } from './live.ts';
import { rigFile } from './rig-file.ts';
import { track } from './track.ts';
import { wire } from './wire.ts';

export const TARGETS: readonly FuzzTarget[] = [wire, rigFile, track, journal, live, http];
