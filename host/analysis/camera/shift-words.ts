import type { Suspect } from '../../../protocol/index.ts';

/** How far a suspect would have to be off, as a person reads it. @param what  the mark or frame, of a marking */
export function shiftWords(suspect: Suspect, shift: number, what: string): string {
  switch (suspect) {
    case 'scale':
      return `the marks’ places ${percent(shift)} ${shift > 0 ? 'further' : 'less far'} from the datum than stated`;
    case 'standoff':
      return `the marks ${number(1000 * Math.abs(shift))} mm ${shift > 0 ? 'further behind the flight line' : 'less far behind the flight line'} than stated`;
    case 'frame rate':
      return `the frame rate ${percent(shift)} ${shift > 0 ? 'higher' : 'lower'} than stated`;
    case 'squareness':
      return `the camera turned ${number((180 / Math.PI) * Math.abs(shift))}° further ${shift > 0 ? 'down the range' : 'up the range'}`;
    case 'marking':
      return `${what} marked ${number(Math.abs(shift))} px ${shift > 0 ? 'too far on' : 'too far back'}`;
  }
}

const percent = (share: number): string => `${number(100 * Math.abs(share))} %`;
const number = (value: number): string => String(Number(value.toPrecision(2)));
