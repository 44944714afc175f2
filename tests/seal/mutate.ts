/**
 * Changes of DER that keep it DER, and of bytes that do not: what somebody tries who hopes that a verifier looks at less
 * than all of it. Every change follows from the seed.
 */
/** A generator of numbers below a bound (mulberry32, in the public domain, from memory), the same for the same seed. */
export function makeChance(seed: number): (below: number) => number {
  let state = seed >>> 0
  return (below) => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = Math.imul(state ^ (state >>> 15), state | 1)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)
    return Math.floor((((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32) * below)
  }
}

export type Node = { tag: number; children: Node[] } | { tag: number; content: Uint8Array }
type Parent = Extract<Node, { children: Node[] }>

/** The values in bytes that are DER with tags of one byte. */
export function parseNodes(bytes: Uint8Array): Node[] {
  const nodes: Node[] = []
  for (let at = 0; at < bytes.length; ) {
    const tag = bytes[at] ?? 0
    let length = bytes[at + 1] ?? 0
    at += 2
    if (length > 0x80) {
      const count = length & 0x7f
      length = bytes.subarray(at, at + count).reduce((sum, byte) => sum * 256 + byte, 0)
      at += count
    }
    const content = bytes.subarray(at, at + length)
    nodes.push((tag & 0x20) !== 0 ? { tag, children: parseNodes(content) } : { tag, content })
    at += length
  }
  return nodes
}

export function writeNode(node: Node): Uint8Array {
  const content = 'content' in node ? node.content : Buffer.concat(node.children.map(writeNode))
  const size: number[] = []
  for (let left = content.length; left > 0; left = Math.floor(left / 256)) size.unshift(left % 256)
  const head = content.length < 0x80 ? [node.tag, content.length] : [node.tag, 0x80 | size.length, ...size]
  return new Uint8Array(Buffer.concat([Buffer.from(head), content]))
}

const listNodes = (node: Node): Node[] => ['children' in node ? node.children.flatMap(listNodes) : [], node].flat()
const isParent = (node: Node): node is Parent => 'children' in node

/** Bytes changed without regard to what they are. */
const byteChanges: readonly ((bytes: Uint8Array, chance: (below: number) => number) => Uint8Array)[] = [
  (bytes, chance) => {
    const changed = new Uint8Array(bytes)
    for (let count = chance(4); count >= 0; count--) {
      const at = chance(bytes.length)
      changed[at] = (changed[at] ?? 0) ^ (1 << chance(8))
    }
    return changed
  },
  (bytes, chance) => bytes.with(chance(bytes.length), chance(256)),
  (bytes, chance) => {
    const at = chance(bytes.length)
    return new Uint8Array([...bytes.subarray(0, at), ...bytes.subarray(at + 1 + chance(8))])
  },
  (bytes, chance) => {
    const at = chance(bytes.length + 1)
    const added = Array.from({ length: 1 + chance(8) }, () => chance(256))
    return new Uint8Array([...bytes.subarray(0, at), ...added, ...bytes.subarray(at)])
  },
  (bytes, chance) => {
    const [from, to, count] = [chance(bytes.length), chance(bytes.length), 1 + chance(64)]
    const changed = new Uint8Array(bytes)
    changed.set(bytes.subarray(from, Math.min(from + count, from + bytes.length - to)), to)
    return changed
  },
  (bytes, chance) => bytes.subarray(0, chance(bytes.length)),
]

/** A value added, left out, doubled, exchanged or renamed, and all lengths around it set right. */
const nodeChanges: readonly ((
  parent: Parent,
  at: number,
  all: readonly Node[],
  chance: (below: number) => number,
) => void)[] = [
  (parent, at) => void parent.children.splice(at, 1),
  (parent, at) => void parent.children.splice(at, 0, parent.children[at] as Node),
  (parent, at, all, chance) => void parent.children.splice(at, 1, all[chance(all.length)] as Node),
  (parent, at, all, chance) => void parent.children.splice(at, 0, all[chance(all.length)] as Node),
  (parent, at, _, chance) => {
    const other = chance(parent.children.length)
    const [one, two] = [parent.children[at] as Node, parent.children[other] as Node]
    parent.children.splice(at, 1, two)
    parent.children.splice(other, 1, one)
  },
  (parent, at, _, chance) => {
    const child = parent.children[at] as Node
    parent.children[at] = { ...child, tag: (child.tag & 0x20) | chance(0x20) | (chance(4) << 6) }
  },
  // Tags that may be there and hold nothing.
  (parent, at, _, chance) => void parent.children.splice(at, 0, { tag: 0xa0 + chance(5), children: [] }),
  (parent, at, _, chance) =>
    void parent.children.splice(at, 0, { tag: [0x30, 0x31][chance(2)] as number, children: [] }),
  (parent, at) => void parent.children.splice(at, 0, { tag: 0x05, content: new Uint8Array() }),
  (parent, at) => void parent.children.push(parent.children[at] as Node),
  (parent, at) => void parent.children.push({ tag: 0xa1, children: [parent.children[at] as Node] }),
  (parent, at, _, chance) => {
    const child = parent.children[at] as Node
    if ('content' in child && child.content.length > 0)
      parent.children[at] = { ...child, content: child.content.with(chance(child.content.length), chance(256)) }
  },
]

/** One change, or two. As a rule the members of sets are put into the order of DER again, which lets more through. */
export function mutate(bytes: Uint8Array, chance: (below: number) => number): Uint8Array {
  if (chance(3) === 0) return (byteChanges[chance(byteChanges.length)] as (typeof byteChanges)[0])(bytes, chance)
  const [root] = parseNodes(bytes)
  if (root === undefined) return bytes
  for (let count = chance(4) === 0 ? 2 : 1; count > 0; count--) {
    const all = listNodes(root)
    const parents = all.filter(isParent).filter(({ children }) => children.length > 0)
    const parent = parents[chance(parents.length)]
    if (parent === undefined) break
    const change = nodeChanges[chance(nodeChanges.length)] as (typeof nodeChanges)[0]
    // Copies, so that no value holds itself.
    change(parent, chance(parent.children.length), all.map(copyNode), chance)
  }
  return writeNode(chance(4) === 0 ? root : orderDer(root))
}

const copyNode = (node: Node): Node => parseNodes(writeNode(node))[0] as Node

/** Members of sets in ascending order of their encodings (X.690, 11.6). */
function orderDer(node: Node): Node {
  if (!('children' in node)) return node
  const children = node.children.map(orderDer)
  if (node.tag !== 0x31) return { tag: node.tag, children }
  return {
    tag: node.tag,
    children: children.toSorted((one, other) => Buffer.compare(writeNode(one), writeNode(other))),
  }
}
