import { Component, type ReactNode } from 'react'
import { problemOf } from '../api/request.ts'
import { ProblemNote } from './problem-note.tsx'

/** Keeps a fault of one part of the page from taking the rest with it. */
export class FaultBoundary extends Component<{ children: ReactNode }, { fault: Error | null }> {
  override state: { fault: Error | null } = { fault: null }

  static getDerivedStateFromError(fault: Error) {
    return { fault }
  }

  override render() {
    const { fault } = this.state
    if (fault === null) return this.props.children
    return <ProblemNote problem={problemOf(fault)} retry={() => this.setState({ fault: null })} />
  }
}
