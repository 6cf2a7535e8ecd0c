/** Reads the sources and says where they break the layers. */
import ts from "typescript";
import { arrows, doors, forbiddenFolders, forbiddenNames, packages, valuesFrom } from "./layers.ts";

export interface SourceFile {
  /** from the project's root, with forward slashes */
  readonly path: string;
  readonly text: string;
}

export interface Breach {
  readonly file: string;
  readonly rule: "arrow" | "door" | "package" | "ending" | "value" | "forbidden" | "folder" | "unknown-layer";
  readonly says: string;
}

export function findBreaches(files: readonly SourceFile[]): Breach[] {
  return files.flatMap((file) => [
    ...checkFolder(file),
    ...checkImports(file),
    ...checkValues(file),
    ...(file.path.startsWith("src/") ? checkNames(file) : []),
  ]);
}

/** All that a layer may reach: its arrows and theirs. */
export function reachOf(layer: string): ReadonlySet<string> {
  const reached = new Set<string>();
  const visit = (name: string): void => {
    for (const below of arrows[name] ?? []) {
      if (reached.has(below)) continue;
      reached.add(below);
      visit(below);
    }
  };
  visit(layer);
  return reached;
}

function checkFolder(file: SourceFile): Breach[] {
  const parts = file.path.split("/");
  const bad = parts.slice(0, -1).filter((part) => forbiddenFolders.includes(part));
  const stem = (parts.at(-1) ?? "").replace(/\.[a-z]+$/, "");
  if (forbiddenFolders.includes(stem)) bad.push(stem);
  const breaches: Breach[] = bad.map((part) => ({ file: file.path, rule: "folder", says: `"${part}" says nothing of what is in it` }));
  const layer = layerOf(file.path);
  if (!(layer in arrows)) breaches.push({ file: file.path, rule: "unknown-layer", says: `${layer} is not in the table of arrows` });
  return breaches;
}

function checkImports(file: SourceFile): Breach[] {
  const from = layerOf(file.path);
  return ts.preProcessFile(file.text, true, true).importedFiles.flatMap(({ fileName }) => {
    return fileName.startsWith(".") ? checkRelative(file.path, from, fileName) : checkPackage(file.path, from, fileName);
  });
}

function checkRelative(file: string, from: string, imported: string): Breach[] {
  const target = resolvePath(file, imported);
  const to = layerOf(target);
  const breaches: Breach[] = [];
  if (/\.jsx?$/.test(imported) || !/\.[a-z]+(\?[a-z]+)?$/.test(imported)) {
    breaches.push({ file, rule: "ending", says: `imports ${imported}: write the file's own ending` });
  }
  if (from === to) return breaches;
  if (!reachOf(from).has(to)) breaches.push({ file, rule: "arrow", says: `${from} must not import ${to} (${imported})` });
  const entrance = target.slice(to.length + 1);
  if (!(doors[to] ?? ["index.ts"]).includes(entrance)) {
    breaches.push({ file, rule: "door", says: `enters ${to} by ${entrance}, not by its index.ts` });
  }
  return breaches;
}

/** Imports of more than types where only types may be taken. */
function checkValues(file: SourceFile): Breach[] {
  const from = layerOf(file.path);
  const allowed = valuesFrom[from];
  if (allowed === undefined) return [];
  const source = ts.createSourceFile(file.path, file.text, ts.ScriptTarget.ES2022, true);
  return source.statements.flatMap((statement): Breach[] => {
    if (!ts.isImportDeclaration(statement) && !ts.isExportDeclaration(statement)) return [];
    const module = statement.moduleSpecifier;
    if (module === undefined || !ts.isStringLiteral(module) || !module.text.startsWith(".") || isTypeOnly(statement)) return [];
    const to = layerOf(resolvePath(file.path, module.text));
    if (to === from || allowed.includes(to)) return [];
    return [{ file: file.path, rule: "value", says: `${from} may only name types of ${to} (${module.text})` }];
  });
}

function isTypeOnly(statement: ts.ImportDeclaration | ts.ExportDeclaration): boolean {
  if (ts.isExportDeclaration(statement)) return statement.isTypeOnly;
  const clause = statement.importClause;
  return clause?.phaseModifier === ts.SyntaxKind.TypeKeyword;
}

function checkPackage(file: string, from: string, imported: string): Breach[] {
  const allowed = packages[from] ?? [];
  const name = imported.startsWith("node:")
    ? "node:"
    : imported
        .split("/")
        .slice(0, imported.startsWith("@") ? 2 : 1)
        .join("/");
  return allowed.includes(name) ? [] : [{ file, rule: "package", says: `${from} must not import ${imported}` }];
}

/** Uses of forbidden names that the file does not declare itself (the report draws into a document of its own making). */
function checkNames(file: SourceFile): Breach[] {
  const source = ts.createSourceFile(file.path, file.text, ts.ScriptTarget.ES2022, true);
  const declared = new Set<string>();
  const used: { readonly name: string; readonly line: number }[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isIdentifier(node)) {
      if (isDeclaration(node)) declared.add(node.text);
      else if (forbiddenNames.includes(node.text) && !isLabel(node)) {
        used.push({ name: node.text, line: source.getLineAndCharacterOfPosition(node.getStart()).line + 1 });
      }
    }
    if (
      ts.isPropertyAccessExpression(node) &&
      ts.isIdentifier(node.expression) &&
      node.expression.text === "Math" &&
      node.name.text === "random"
    ) {
      used.push({ name: "Math.random", line: source.getLineAndCharacterOfPosition(node.getStart()).line + 1 });
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return used
    .filter(({ name }) => !declared.has(name))
    .map(({ name, line }) => ({ file: file.path, rule: "forbidden", says: `uses ${name} (line ${line})` }));
}

function isDeclaration(node: ts.Identifier): boolean {
  const { parent } = node;
  return (
    ((ts.isVariableDeclaration(parent) || ts.isParameter(parent) || ts.isFunctionDeclaration(parent) || ts.isBindingElement(parent)) &&
      parent.name === node) ||
    ts.isImportSpecifier(parent)
  );
}

/** A name after a dot, a key, a member or a type: not a use of the global value. */
function isLabel(node: ts.Identifier): boolean {
  const { parent } = node;
  if (ts.isPropertyAccessExpression(parent)) return parent.name === node;
  if (ts.isPropertyAssignment(parent) || ts.isPropertySignature(parent) || ts.isMethodSignature(parent) || ts.isMethodDeclaration(parent)) {
    return parent.name === node;
  }
  return ts.isTypeReferenceNode(parent) || ts.isQualifiedName(parent) || (ts.isBindingElement(parent) && parent.propertyName === node);
}

function layerOf(path: string): string {
  return path.split("/").slice(0, 2).join("/");
}

function resolvePath(file: string, imported: string): string {
  const parts = file.split("/").slice(0, -1);
  for (const step of imported.replace(/\?.*$/, "").split("/")) {
    if (step === "..") parts.pop();
    else if (step !== ".") parts.push(step);
  }
  return parts.join("/");
}
