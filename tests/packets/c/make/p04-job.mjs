// What every paper of p04 shares.

// European: no check digit in position 9.
export const vin = 'WJ9ZZZ4TZSB041882'
export const mistyped = 'WJ9ZZZ4TZSB048182'
export const car = { year: 2025, make: 'Vossmark', model: 'Arle' }
export const common = { vehicle: car, plate: 'HV KL 2093', jobNumber: 'A-2026-0611', claimNumber: 'SG/26/44817' }
export const tech = 'Jonte Brakvik'
export const shop = 'Werkstatt Lindhof'
export const zone = '+02:00'
