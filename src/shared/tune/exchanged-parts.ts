/**
 * For each pair of entries of a list (motors, valves) of which the same inputs are named, the order of the
 * names with the two exchanged: what one lit late and the other in time gives, two like motors the other way
 * round give too.
 * @param names of inputs, as "motors.0.delayS"
 * @returns places in the names, as many as there are of these
 */
export function exchangedParts(names: readonly string[]): readonly (readonly number[])[] {
  const parts = new Set(names.flatMap((name) => /^(\w+\.\d+)\./.exec(name)?.[1] ?? []));
  const listOf = (part: string) => part.slice(0, part.indexOf("."));
  const pairs = [...parts].flatMap((one, i) =>
    [...parts]
      .slice(i + 1)
      .flatMap((other) => (listOf(one) === listOf(other) ? [[one, other] as const] : [])),
  );
  return pairs.flatMap(([one, other]) => {
    const order = names.map((name) => {
      const there = name.startsWith(`${one}.`)
        ? other + name.slice(one.length)
        : name.startsWith(`${other}.`)
          ? one + name.slice(other.length)
          : name;
      return names.indexOf(there);
    });
    return order.includes(-1) ? [] : [order];
  });
}
