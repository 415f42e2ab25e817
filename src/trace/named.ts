/** A field with its value, or no field where there is no value: absent means not known, and undefined is not stored. */
export function named<Name extends string, Value>(
  name: Name,
  value: Value | undefined,
): { [key in Name]?: Value } {
  return value === undefined ? {} : ({ [name]: value } as { [key in Name]: Value });
}
