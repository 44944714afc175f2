/** XML to named values: attributes and child elements are entries, repeated children lists, text the value. */
import type { Problem } from '../facts/reading.ts'
import { mostNodes, type StructuredNode, singular } from './structured-node.ts'
import { parseXmlEvents } from './xml-events.ts'

interface Element {
  name: string
  attributes: [string, string][]
  children: Element[]
  text: string
}

const mostText = 1_000_000

/** The name of the first element of `head` without its prefix, or null. */
export function rootName(head: string): string | null {
  const plain = head.replace(/<!--[\s\S]*?-->|<\?[\s\S]*?\?>|<!DOCTYPE[^>[]*(?:\[[\s\S]*?\]\s*)?>/g, '')
  return /<(?:[\w.-]+:)?([\w.-]+)/.exec(plain)?.[1] ?? null
}

/** Parses `text`. Never throws. Problems: those of `parseXmlEvents`. */
export function parseXml(text: string): { root: StructuredNode | null; problems: Problem[] } {
  const top: Element = { name: '', attributes: [], children: [], text: '' }
  const open = [top]
  let count = 0
  const problems = parseXmlEvents(text, {
    open: (name, attributes) => {
      const element: Element = { name, attributes, children: [], text: '' }
      if (++count <= mostNodes) open.at(-1)?.children.push(element)
      open.push(element)
    },
    text: (run) => {
      const element = open.at(-1)
      if (element && element.text.length < mostText) element.text += run
    },
    close: () => {
      if (open.length > 1) open.pop()
    },
  })
  const [root] = top.children
  if (!root) return { root: null, problems }
  const node = nodeOf(root)
  return { root: { kind: 'map', entries: [[root.name, node]] }, problems }
}

/** Recursion is bounded by the depth limit of `parseXmlEvents`. */
function nodeOf(element: Element): StructuredNode {
  const text = element.text.trim()
  if (element.attributes.length === 0 && element.children.length === 0) return { kind: 'scalar', text }
  const groups = new Map<string, StructuredNode[]>()
  for (const child of element.children) {
    const group = groups.get(child.name)
    if (group) group.push(nodeOf(child))
    else groups.set(child.name, [nodeOf(child)])
  }
  const [only] = groups
  // `<modules><module/></modules>`: a wrapper of one kind of child is the list of them, also when it holds but one.
  if (
    only &&
    groups.size === 1 &&
    element.attributes.length === 0 &&
    text === '' &&
    isWrapper(element.name, only[0], only[1])
  ) {
    return { kind: 'list', items: only[1] }
  }
  const entries: (readonly [string, StructuredNode])[] = element.attributes
    .filter(([, value]) => value.trim() !== '')
    .map(([name, value]) => [name, { kind: 'scalar', text: value.trim() }])
  for (const [name, nodes] of groups) {
    const [first] = nodes
    if (nodes.length > 1) entries.push([name, { kind: 'list', items: nodes }])
    else if (first && !(first.kind === 'scalar' && first.text === '')) entries.push([name, first])
  }
  if (text !== '') entries.push([element.name, { kind: 'scalar', text }])
  return { kind: 'map', entries }
}

/** What an element calls one of several where it has no name for it: what stands in it is a record of a list. */
const NAMELESS = /^(?:entry|item|row|record|element|line)$/

function isWrapper(name: string, child: string, nodes: readonly StructuredNode[]): boolean {
  const [outer, inner] = [name.toLowerCase(), child.toLowerCase()]
  if (nodes.length > 1 || singular(outer) === inner || outer === `${inner}list` || outer === `${inner}es`) return true
  return NAMELESS.test(inner) && nodes.every(({ kind }) => kind === 'map')
}
