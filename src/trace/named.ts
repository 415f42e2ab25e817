/** A field with its value, or no field where there is no value: absent means not known, and undefined is not stored. */
export function named<Name extends string>(
  name: Name,
  value: number | undefined,
): { [key in Name]?: number } {
  return value === undefined ? {} : ({ [name]: value } as { [key in Name]: number });
}
