import { betaCoefficients, type ThermistorConversion, thermistorKelvin, thermistorRange } from '../conversions/thermistor.ts';
import type { ChannelShape } from '../schema/channels.ts';
import { type ResolvedConversion, UNRESOLVED } from './context.ts';
import type { MeasuredContext } from './level.ts';

type Written = NonNullable<ChannelShape['thermistor']>;
type Coefficients = Pick<ThermistorConversion, 'a' | 'b' | 'c'>;

export function resolveThermistor(of: MeasuredContext, written: Written): ResolvedConversion {
  const { measures, path, report } = of;
  if (measures !== 'temperature') {
    report([...path, 'thermistor'], `a thermistor measures temperature, and ${of.name} measures ${measures}; remove it`, 'key');
    return UNRESOLVED;
  }
  const coefficients = coefficientsOf(of, written);
  const fixed = fixedOf(of, written);
  if (coefficients === undefined || fixed === undefined) return UNRESOLVED;
  checkCoefficients(of, coefficients, fixed.fixedOhm, written);
  const fullScale = written.fullScale ?? of.fullScale ?? Number.NaN;
  return { conversion: { kind: 'thermistor', ...coefficients, ...fixed, fullScale }, reference: undefined };
}

function coefficientsOf({ path, fields, report }: MeasuredContext, { r25, beta, a, b, c }: Written): Coefficients | undefined {
  const at = [...path, 'thermistor'];
  const hasBeta = r25 !== undefined || beta !== undefined;
  const hasThree = a !== undefined || b !== undefined || c !== undefined;
  if (hasBeta && hasThree) report(at, 'the thermistor has both r25 and beta, and a, b and c; keep one of the two', 'key');
  else if (r25 !== undefined && beta !== undefined) {
    const r25Ohm = fields.amount([...at, 'r25'], r25, 'resistance');
    return betaCoefficients(r25Ohm, fields.amount([...at, 'beta'], beta, 'temperatureDifference'));
  } else if (a !== undefined && b !== undefined && c !== undefined) return { a, b, c };
  else report(at, 'the thermistor has neither r25 and beta, nor a, b and c; add what is missing', 'key');
  return undefined;
}

function fixedOf(
  { path, fields, report }: MeasuredContext,
  { pullUp, pullDown }: Written,
): Pick<ThermistorConversion, 'fixedOhm' | 'fixedTo'> | undefined {
  const at = [...path, 'thermistor'];
  if (pullUp !== undefined && pullDown === undefined)
    return { fixedOhm: fields.amount([...at, 'pullUp'], pullUp, 'resistance'), fixedTo: 'supply' };
  if (pullDown !== undefined && pullUp === undefined)
    return { fixedOhm: fields.amount([...at, 'pullDown'], pullDown, 'resistance'), fixedTo: 'ground' };
  report(at, 'the thermistor needs its fixed resistor, either pullUp (to the supply) or pullDown (to ground); write one of the two', 'key');
  return undefined;
}

/** The fixed resistor is chosen near the thermistor's own value, so from a tenth to ten times of it there are temperatures. */
function checkCoefficients({ path, report }: MeasuredContext, coefficients: Coefficients, fixedOhm: number, written: Written): void {
  const kelvins = [0.1, 0.3, 1, 3, 10].map((share) => thermistorKelvin(coefficients, fixedOhm * share));
  if (kelvins.some(Number.isNaN)) return;
  const falls = kelvins.every((kelvin, i) => i === 0 || kelvin < (kelvins[i - 1] as number));
  const [, , middle] = kelvins as [number, number, number];
  if (falls && middle >= thermistorRange[0] && middle <= thermistorRange[1] && kelvins.every((kelvin) => kelvin > 0)) return;
  const which = written.beta === undefined ? 'a' : 'beta';
  report(
    [...path, 'thermistor', which],
    `the thermistor would be at ${Math.round(middle - 273.15)} °C where it equals its fixed resistor, or does not fall with temperature; check its figures`,
  );
}
