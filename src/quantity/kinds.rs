//! The quantities themselves, one line each, with their units and allowed ranges.

use super::{Quantity, QuantityError, Unit};

macro_rules! quantity {
    ($(#[$doc:meta])* $type:ident, $name:literal, $min:expr, $max:expr, [$(($names:expr, $scale:expr $(, $offset:expr)?)),+ $(,)?]) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $type(f64);

        impl Quantity for $type {
            const NAME: &'static str = $name;
            const UNITS: &'static [Unit] = &[$(Unit { names: &$names, scale: $scale, offset: 0.0 $(+ $offset)? }),+];
            const MIN: f64 = $min;
            const MAX: f64 = $max;

            fn from_si(value: f64) -> Result<Self, QuantityError> {
                super::parse::in_range::<Self>(value).map(Self)
            }

            fn si(self) -> f64 {
                self.0
            }
        }
    };
}

quantity!(
    /// A length in metres, 0 to 1,000 m.
    Length, "length", 0.0, 1000.0,
    [
        (["cm", "centimetre", "centimetres", "centimeter", "centimeters"], 0.01),
        (["in", "inch", "inches", "\""], 0.0254),
        (["mm", "millimetre", "millimetres", "millimeter", "millimeters"], 0.001),
        (["m", "metre", "metres", "meter", "meters"], 1.0),
        (["um", "µm", "μm", "micron", "microns"], 1e-6),
        (["ft", "foot", "feet", "'"], 0.3048),
        (["mil", "mils"], 25.4e-6),
    ]
);
quantity!(
    /// An area in square metres, 0 to 1,000 m².
    Area, "area", 0.0, 1000.0,
    [
        (["m2", "m²", "m^2", "sq m"], 1.0),
        (["cm2", "cm²", "cm^2", "sq cm"], 1e-4),
        (["ft2", "ft²", "ft^2", "sq ft"], 0.092_903_04),
        (["in2", "in²", "in^2", "sq in"], 6.4516e-4),
    ]
);
quantity!(
    /// A volume in cubic metres, 0 to 100,000 m³.
    Volume, "volume", 0.0, 100_000.0,
    [
        (["m3", "m³", "m^3", "cu m"], 1.0),
        (["ft3", "ft³", "ft^3", "cu ft"], 0.028_316_846_592),
        (["l", "L", "litre", "litres", "liter", "liters"], 1e-3),
    ]
);
quantity!(
    /// A temperature in degrees Celsius, -40 to 60 °C.
    Temperature, "temperature", -40.0, 60.0,
    [
        (["C", "°C", "degC", "deg C", "celsius", "c"], 1.0),
        (["F", "°F", "degF", "deg F", "fahrenheit", "f"], 5.0 / 9.0, -160.0 / 9.0),
        (["K", "kelvin"], 1.0, -273.15),
    ]
);
quantity!(
    /// A relative humidity as a fraction of saturation, 0 to 1.
    RelativeHumidity, "relative humidity", 0.0, 1.0,
    [(["%", "percent", "% RH", "%RH"], 0.01)]
);
quantity!(
    /// A share as a fraction of one, 0 to 1.
    Share, "share", 0.0, 1.0,
    [(["%", "percent"], 0.01)]
);
quantity!(
    /// A speed in metres per second, 0 to 60 m/s.
    Speed, "speed", 0.0, 60.0,
    [
        (["m/s"], 1.0),
        (["cm/s"], 0.01),
        (["km/h", "kph"], 1.0 / 3.6),
        (["mph"], 0.447_04),
        (["in/s"], 0.0254),
        (["ft/s"], 0.3048),
        (["ft/min", "fpm"], 0.005_08),
        (["kn", "knot", "knots"], 0.514_444),
    ]
);
quantity!(
    /// A mass in kilograms, 0 to 100 kg.
    Mass, "mass", 0.0, 100.0,
    [
        (["g", "gram", "grams", "gramme", "grammes"], 1e-3),
        (["oz", "ounce", "ounces"], 0.028_349_523_125),
        (["kg"], 1.0),
        (["mg"], 1e-6),
        (["lb", "lbs", "pound", "pounds"], 0.453_592_37),
    ]
);
quantity!(
    /// A mass rate in kilograms per second, 0 to 0.1 kg/s.
    MassRate, "mass rate", 0.0, 0.1,
    [
        (["g/s"], 1e-3),
        (["oz/s"], 0.028_349_523_125),
        (["g/min"], 1e-3 / 60.0),
        (["oz/min"], 0.028_349_523_125 / 60.0),
    ]
);
quantity!(
    /// A sheet weight in kilograms per square metre, 20 to 1,200 g/m².
    Grammage, "grammage", 0.02, 1.2,
    [
        (["g/m2", "g/m²", "g/m^2", "gsm"], 1e-3),
        (["lb cover", "# cover"], 2.7048e-3),
        (["lb text", "# text", "lb book"], 1.4801e-3),
    ]
);
quantity!(
    /// A pressure in pascals, 50 to 110 kPa: air at the bench.
    Pressure, "air pressure", 50_000.0, 110_000.0,
    [
        (["hPa", "mbar", "mb"], 100.0),
        (["kPa"], 1000.0),
        (["inHg", "in Hg"], 3386.389),
        (["Pa"], 1.0),
    ]
);
quantity!(
    /// A rate of air changes per hour, 0 to 1,000 /h.
    AirChanges, "air change rate", 0.0, 1000.0,
    [(["/h", "ach", "ACH", "per hour", "1/h"], 1.0)]
);
quantity!(
    /// A volume flow in cubic metres per hour, 0 to 100,000 m³/h.
    VolumeFlow, "air flow", 0.0, 100_000.0,
    [
        (["m3/h", "m³/h", "m^3/h"], 1.0),
        (["cfm", "CFM", "ft3/min"], 1.699_010_795_52),
        (["m3/s", "m³/s"], 3600.0),
        (["m3/min", "m³/min"], 60.0),
        (["l/s", "L/s"], 3.6),
    ]
);
