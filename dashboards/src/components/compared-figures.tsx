import type { Shot } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { comparedFigures } from '../text/compared-figures.ts';
import { shotName } from '../text/shot-name.ts';
import { useWidth } from './use-width.ts';

/** A column needs so much room for a value with its uncertainty; with less, the shots stand below each other. */
const COLUMN_PX = 150;
const HEAD_PX = 180;

export function ComparedFigures({ shots }: { readonly shots: readonly Shot[] }) {
  const { element, widthPx } = useWidth();
  const rows = comparedFigures(shots, units.value);
  const names = shots.map((shot) => shotName(shot, shots));
  const isWide = widthPx >= HEAD_PX + shots.length * COLUMN_PX;
  return (
    <div ref={element}>
      {widthPx > 0 &&
        (isWide ? (
          <table class="compared-table">
            <caption>
              Figures <small>(± 95 %)</small>
            </caption>
            <thead>
              <tr>
                <td />
                {names.map((name) => (
                  <th key={name} scope="col">
                    {name}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {rows.map(({ name, texts }) => (
                <tr key={name}>
                  <th scope="row">{name}</th>
                  {texts.map((text, i) => (
                    <td key={names[i]} class="figures">
                      {text}
                    </td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        ) : (
          <table class="compared-table">
            <caption>
              Figures <small>(± 95 %)</small>
            </caption>
            {rows.map(({ name, texts }) => (
              <tbody key={name}>
                <tr>
                  <th scope="rowgroup" colSpan={2}>
                    {name}
                  </th>
                </tr>
                {texts.map((text, i) => (
                  <tr key={names[i]}>
                    <th scope="row">{names[i]}</th>
                    <td class="figures">{text}</td>
                  </tr>
                ))}
              </tbody>
            ))}
          </table>
        ))}
    </div>
  );
}
