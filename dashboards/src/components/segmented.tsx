/** A choice of a few, all in sight: radio buttons drawn as one bar. */
export interface SegmentedProps<T extends string> {
  readonly legend: string;
  readonly name: string;
  readonly options: readonly { readonly value: T; readonly label: string }[];
  readonly value: T;
  readonly onChoose: (value: T) => void;
}

export function Segmented<T extends string>({ legend, name, options, value, onChoose }: SegmentedProps<T>) {
  return (
    <fieldset class="segmented">
      <legend>{legend}</legend>
      {options.map((option) => (
        <label key={option.value} class={option.value === value ? 'chosen' : ''}>
          <input type="radio" name={name} value={option.value} checked={option.value === value} onChange={() => onChoose(option.value)} />
          <span>{option.label}</span>
        </label>
      ))}
    </fieldset>
  );
}
