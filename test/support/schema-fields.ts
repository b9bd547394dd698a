interface Node {
  readonly type?: string;
  readonly properties?: Readonly<Record<string, Node>>;
  readonly items?: Node;
  readonly prefixItems?: readonly Node[];
  readonly anyOf?: readonly Node[];
  readonly oneOf?: readonly Node[];
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
}

/**
 * Each field of a JSON Schema by its path, a line each in order, with the kind of value or the choices that
 * it takes. @param version is no choice: the list is named after it
 */
export function fieldsOf(schema: object, version: number): string {
  return [...new Set(linesOf(schema as Node, "", version))].sort().join("\n");
}

function linesOf(node: Node, path: string, version: number): string[] {
  const choices = [...(node.enum ?? []), ...(node.const === undefined ? [] : [node.const])];
  return [
    ...(node.type === undefined && choices.length === 0 ? [] : [`${path}: ${node.type ?? ""}`]),
    ...choices.filter((one) => one !== version).map((one) => `${path} = ${JSON.stringify(one)}`),
    ...[...(node.anyOf ?? []), ...(node.oneOf ?? [])].flatMap((one) => linesOf(one, path, version)),
    ...[...(node.prefixItems ?? []), ...(node.items ? [node.items] : [])].flatMap((one) =>
      linesOf(one, `${path}[]`, version),
    ),
    ...Object.entries(node.properties ?? {}).flatMap(([name, one]) =>
      linesOf(one, `${path}.${name}`, version),
    ),
  ];
}
