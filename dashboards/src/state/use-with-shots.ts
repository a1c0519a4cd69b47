import { useEffect } from 'preact/hooks';
import { measuringId, shots } from './shots.ts';

/** A shot is in the store a moment after it is on the page. */
const STORED_MS = 1500;

/** Fetches what is made from the stored shots: now, with each new shot, and again once that is stored. */
export function useWithShots(fetchIt: () => Promise<void>): void {
  const newest = shots.value[0]?.id;
  const isMeasured = measuringId.value === undefined;
  useEffect(() => {
    void fetchIt();
    const timer = setTimeout(() => void fetchIt(), STORED_MS);
    return () => clearTimeout(timer);
  }, [newest, isMeasured, fetchIt]);
}
