// What every paper of p05 shares.
import { fillVin } from './tools.mjs'

export const vin = fillVin('1Z9FP3G6*MC300571')
export const car = { year: 2021, make: 'Pinnock', model: 'Dray' }
export const common = { vin, vehicle: car, plate: 'CKB8813', jobNumber: '88-4410', claimNumber: 'QV-906-2216' }
export const tech = 'Lucan Praither'
export const shop = 'Red Mesa Truck Body'
