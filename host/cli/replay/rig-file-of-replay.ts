import type { RigFileInForce } from '../../../protocol/index.ts';
import type { RigFileDesk } from '../../serve/index.ts';
import { checkRig } from '../check/check.ts';
import type { CorrectedRig } from './recorded-fold.ts';
import type { SessionReading } from './session-reading.ts';

/** The rig file that a replay goes by: the corrected one, or the newest that was recorded. */
export function rigFileOfReplay(reading: Pick<SessionReading, 'rigFile'>, corrected: CorrectedRig | undefined): RigFileDesk {
  let known: RigFileInForce | undefined;
  return {
    inForce() {
      const now = corrected ?? reading.rigFile;
      if (now && known?.text !== now.text)
        known = { fileName: now.fileName, text: now.text, lines: checkRig(now.text, now.fileName).lines };
      return known;
    },
  };
}
