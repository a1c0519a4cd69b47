/** How far off a gate is, against the band of its own standard uncertainty. */

const WIDTH = 112;
const HEIGHT = 20;
const MIDDLE = WIDTH / 2;
/** Standard uncertainties to either side; what lies beyond ends in a point. */
const REACH = 4;
/** Beyond this it is worth a look. */
const WIDE = 3;
const UNIT = (MIDDLE - 4) / REACH;

/** @param share  residual over its standard uncertainty */
export function ResidualBar({ share }: { readonly share: number }) {
  const size = Math.abs(share);
  const end = MIDDLE + UNIT * Math.max(-REACH, Math.min(REACH, share));
  const tip = size > REACH ? `L${end + 4 * Math.sign(share)} ${HEIGHT / 2}` : '';
  return (
    <svg class={`residual ${size > WIDE ? 'wide' : ''}`} width={WIDTH} height={HEIGHT} role="img" aria-label={inWords(share)}>
      <rect class="band" x={MIDDLE - UNIT} width={2 * UNIT} y={1} height={HEIGHT - 2} />
      <path class="bar" d={`M${MIDDLE} 6L${end} 6${tip}L${end} ${HEIGHT - 6}L${MIDDLE} ${HEIGHT - 6}Z`} />
      <path class="zero" d={`M${MIDDLE} 0V${HEIGHT}`} />
    </svg>
  );
}

/** Such as `late by 1.2 times its standard uncertainty`. */
function inWords(share: number): string {
  const size = Math.abs(share).toFixed(1);
  if (Number(size) === 0) return 'as fitted';
  return `${share < 0 ? 'early' : 'late'} by ${size} times its standard uncertainty`;
}
