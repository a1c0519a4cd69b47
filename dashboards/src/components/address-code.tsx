import { encode } from 'uqr';

/** Modules of quiet zone that ISO/IEC 18004 asks for on each side. */
const QUIET = 4;

export interface AddressCodeProps {
  /** With its key. */
  readonly address: string;
  /** Without. */
  readonly name: string;
}

/** An address as a QR code (ISO/IEC 18004), dark on light under any theme, since some scanners read no other. */
export function AddressCode({ address, name }: AddressCodeProps) {
  const { data, size } = encode(address, { ecc: 'M', border: QUIET });
  const dark = data.flatMap((row, y) => row.flatMap((isDark, x) => (isDark ? [`M${x} ${y}h1v1h-1z`] : []))).join('');
  return (
    <figure class="address-code">
      <svg viewBox={`0 0 ${size} ${size}`} role="img" aria-label={`QR code of ${name}`} shape-rendering="crispEdges">
        <rect width={size} height={size} fill="#fff" />
        <path d={dark} fill="#000" />
      </svg>
      <figcaption>
        <a href={address}>{name}</a>
      </figcaption>
    </figure>
  );
}
