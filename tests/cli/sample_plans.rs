//! Plans written by hand, so that what a renderer says can be read without computing anything.

use coatbell::caution;
use coatbell::estimate::{Basis, Quantiles};
use coatbell::finding::{Finding, Level};
use coatbell::plan::{
    AirReview, Change, Coat, CoatKind, Direction, LayerReady, Milestone, Narrow, PagePart, Plan, Preflight, Respirator,
    RoomPart, RunnerUp, SealerPart, SeriesPoint, SolventAir, Surface, Ventilation, Why,
};
use coatbell::report::Look;

/// A Saturday, twenty to six in the evening.
pub(crate) fn look() -> Look {
    Look::plain("2026-11-28T17:40[Europe/Paris]".parse().expect("a moment"))
}

fn range(p10: f64, p50: f64, p90: f64) -> Quantiles {
    Quantiles { p10, p50, p90 }
}

fn mist() -> Coat {
    Coat {
        number: 1,
        kind: CoatKind::Mist,
        distance_cm: 30.0,
        pass_speed_cm_s: 50.0,
        seconds_per_pass: 0.93,
        step_over_cm: 6.6,
        pattern_width_cm: 13.3,
        first_pass_offset_cm: -3.3,
        start_corner: "top-left".into(),
        passes: 6,
        direction: Direction::Long,
        overrun_cm: 8.6,
        surface: Surface::Flat,
        spray_s: 5.6,
        sealer_g: 5.6,
        wet_film_um: range(6.1, 8.9, 12.2),
        dry_film_um: range(0.9, 1.5, 2.2),
        cap_um: 12.0,
        limited_by: "alcohol-marker".into(),
        under_cap_pct: 87.4,
        blush_index_pct: Some(0.2),
        dry_spray_pct: 18.0,
        ripple_pct: 1.1,
        starts_at: Some("2026-11-28T18:05:00+01:00".into()),
        touch_dry_min: Some(range(0.9, 1.3, 2.4)),
        touch_dry_modelled_min: None,
        recoat_min: Some(range(1.2, 1.6, 3.1)),
        wait_min: 15,
        recoat_by: None,
        return_masked_min: Some(8),
        label_applied: vec!["15 min between coats".into()],
    }
}

fn build(number: usize, starts_at: &str, wait_min: u32) -> Coat {
    let crossing = number.is_multiple_of(2);
    Coat {
        number,
        kind: CoatKind::Build,
        distance_cm: 18.0,
        pass_speed_cm_s: 40.0,
        seconds_per_pass: if crossing { 0.83 } else { 1.05 },
        step_over_cm: 4.0,
        pattern_width_cm: 8.0,
        first_pass_offset_cm: -2.0,
        start_corner: if crossing { "bottom-left".into() } else { "top-left".into() },
        passes: if crossing { 10 } else { 8 },
        direction: if crossing { Direction::Short } else { Direction::Long },
        overrun_cm: 6.0,
        spray_s: 8.3,
        sealer_g: 8.3,
        wet_film_um: range(15.2, 21.8, 30.4),
        dry_film_um: range(2.1, 3.4, 5.0),
        cap_um: 45.0,
        limited_by: "running while lying flat".into(),
        under_cap_pct: 98.9,
        blush_index_pct: Some(1.1),
        dry_spray_pct: 4.0,
        ripple_pct: 1.0,
        starts_at: Some(starts_at.into()),
        touch_dry_min: Some(range(2.0, 3.0, 5.5)),
        recoat_min: Some(range(2.9, 4.1, 8.3)),
        wait_min,
        return_masked_min: Some(12),
        ..mist()
    }
}

fn solvent(id: &str, released_g: f64, near: f64, limit: Option<f64>, source: &str) -> SolventAir {
    SolventAir {
        id: id.into(),
        released_g,
        room_peak_ppm: near / 4.0,
        near_peak_ppm: near,
        mean_15min_ppm: near / 3.0,
        mean_8h_ppm: near / 60.0,
        limit_8h_ppm: limit,
        limit_15min_ppm: limit.map(|limit| limit * 3.0),
        limit_source: source.into(),
    }
}

fn air() -> AirReview {
    AirReview {
        solvents: vec![
            solvent("acetone", 8.1, 312.0, Some(250.0), "NIOSH"),
            solvent("n-butyl-acetate", 2.2, 61.0, Some(50.0), "ACGIH"),
            solvent("propane", 5.3, 380.0, Some(1000.0), "OSHA"),
        ],
        index_15min: 0.82,
        index_short_term: 0.27,
        index_8h: 0.04,
        index_unmasked_only: 0.13,
        room_index_peak: 0.61,
        lel_room_pct: 0.6,
        lel_near_pct: 3.4,
        return_masked_min: Some(12),
        clear_unmasked_min: Some(38),
        clear_others_min: Some(165),
        purge_99_min: Some(415),
        airflow_needed_m3_h: None,
        ventilation: Ventilation {
            m3_h: 68.4,
            low_m3_h: 45.6,
            mixing_factor: 3.0,
            source: "one window wide open".into(),
        },
        respirator: Respirator {
            kind: "half mask".into(),
            cartridge: "organic vapour (black; type A)".into(),
            prefilter: "particulate, oil-proof (R95 or P100; P2 or P3)".into(),
            protection_factor: 10.0,
            max_use_ppm: Some(500.0),
            not_held: vec!["propane".into(), "n-butane".into()],
            cartridge_life_h: Some(8.0),
        },
        series: vec![
            SeriesPoint { t_min: 0.0, room_index: 0.0, near_index: 0.0, lel_pct: 0.0 },
            SeriesPoint { t_min: 0.5, room_index: 0.101, near_index: 1.616, lel_pct: 3.4 },
        ],
        verdict: Level::Go,
    }
}

fn why() -> Vec<Why> {
    vec![
        Why {
            path: "coats[0].wet_film_um".into(),
            formula: "w = m f TE / (v s)".into(),
            inputs: "discharge 1.0 g/s, share landing 0.55, speed 50 cm/s, step-over 6.6 cm".into(),
            basis: Basis::Estimate,
            source: None,
        },
        Why {
            path: "room.dew_point_c".into(),
            formula: "T_d = b g / (a − g), g = ln(RH/100) + a T / (b + T)".into(),
            inputs: "21 °C, 48 %".into(),
            basis: Basis::Published,
            source: Some("Alduchov and Eskridge 1996".into()),
        },
    ]
}

/// A mist and two builds, nothing against it.
pub(crate) fn go() -> Plan {
    Plan {
        schema: "coatbell.plan/1",
        version: "0.0.0",
        inputs: serde_json::json!({ "page": "lighthouse.toml", "room": "spare.toml" }),
        verdict: Level::Go,
        answer: "Seal tonight with acrylic satin: one mist at 30 cm (12 in), then two builds at 18 cm (7 in); first \
                 coat at 18:05, handle the page from 19:20"
            .into(),
        findings: vec![
            Finding::new(
                "wax-bloom-soon",
                Level::Note,
                "The wax pencil is young, so bloom may still come",
                Basis::Practice,
            )
            .remedy("Wipe any haze off with a soft cloth before the first coat")
            .layers([6]),
            Finding {
                source: Some("ISO 8502-4".into()),
                ..Finding::new("dew-margin", Level::Note, "The sheet stays 11 K above the dew point", Basis::Published)
            },
        ],
        cautions: caution::in_full(),
        page: PagePart {
            title: "Lighthouse keeper".into(),
            width_cm: 21.0,
            height_cm: 29.7,
            paper: "cardstock-heavy".into(),
            finish: Some("satin".into()),
        },
        sealer: SealerPart { id: "acrylic-satin".into(), name: "Acrylic satin".into() },
        runners_up: vec![
            RunnerUp {
                sealer: "acrylic-spirit".into(),
                verdict: Level::Go,
                reason: "Dries slower and wakes the wax pencil more".into(),
            },
            RunnerUp {
                sealer: "water-clear".into(),
                verdict: Level::Hold,
                reason: "Water as the first coat lifts the watercolour pencil".into(),
            },
        ],
        room: RoomPart {
            temperature_c: 21.0,
            relative_humidity_pct: 48.0,
            dew_point_c: 9.6,
            volume_m3: Some(22.8),
            air_changes_per_h: Some(3.0),
        },
        ready_at: Some("2026-11-27T09:00:00+01:00".into()),
        layers: ["toner", "watercolour", "watercolour-pencil", "alcohol-marker", "oil-pencil", "wax-pencil"]
            .map(|medium| LayerReady {
                medium: medium.into(),
                ready_at: Some("2026-11-27T09:00:00+01:00".into()),
                level: Level::Go,
            })
            .to_vec(),
        would_change: vec![Change {
            variable: "humidity".into(),
            from: Some("48 %".into()),
            to: Some("66 %".into()),
            level: Level::Care,
            text: "From 66 % humidity on this would be care".into(),
        }],
        coats: vec![mist(), build(2, "2026-11-28T18:20:00+01:00", 15), build(3, "2026-11-28T18:35:00+01:00", 45)],
        handle_at: Some("2026-11-28T19:20:00+01:00".into()),
        milestones: vec![
            Milestone {
                id: "scan".into(),
                at: Some("2026-11-29T18:35:00+01:00".into()),
                text: "Scan it, or lay it face down on glass".into(),
            },
            Milestone {
                id: "stack".into(),
                at: Some("2026-11-30T18:35:00+01:00".into()),
                text: "Stack it with paper between".into(),
            },
            Milestone {
                id: "frame".into(),
                at: Some("2026-12-05T18:35:00+01:00".into()),
                text: "Frame it behind glass".into(),
            },
        ],
        sealer_total_g: 22.2,
        can_share_pct: Some(7.8),
        dry_film_total_um: Some(range(5.4, 8.3, 11.9)),
        air: Some(air()),
        narrow_most: Some(Narrow {
            measurement: "How much your can puts out in ten seconds".into(),
            steps: vec![
                "Weigh the can on a kitchen scale".into(),
                "Spray for ten seconds outdoors, counting aloud".into(),
                "Weigh it again and run `coatbell measure can`".into(),
            ],
        }),
        preflight: [
            ("mask", "The mask is on, with fresh organic-vapour cartridges, and sealed to the face"),
            ("ignition", "Pilot lights, heaters and candles within 6 m (20 ft) are out"),
            ("air", "The window is wide open and the door to the rest of the home is shut"),
            ("can", "The can is at room temperature and shaken for two minutes"),
            ("scrap", "A test coat on a scrap of the same paper came out even"),
        ]
        .map(|(id, text)| Preflight { id: id.into(), text: text.into() })
        .to_vec(),
        why: why(),
    }
}

/// No room given, humidity not known, air over the limit.
pub(crate) fn care() -> Plan {
    let plan = go();
    Plan {
        verdict: Level::Care,
        answer: "Seal tonight with acrylic satin: one mist, then two builds; the air needs a mask and an open window"
            .into(),
        findings: vec![
            Finding::new(
                "room-unknown",
                Level::Care,
                "No room was given, so a closed one of 20 m³ (706 ft³) is counted on",
                Basis::Choice,
            )
            .remedy("Describe the room with --room, or open a window and say so"),
            Finding::new(
                "humidity-unknown",
                Level::Care,
                "The humidity is not known and is planned as 65 %",
                Basis::Choice,
            )
            .remedy("Read a hygrometer and give it with --humidity"),
            Finding::new(
                "exposure",
                Level::Care,
                "Without a mask the exposure limit would be passed at your face",
                Basis::Published,
            )
            .remedy("Wear the mask from the first coat until the air is clear for you"),
        ]
        .into_iter()
        .map(|finding| match finding.code {
            "exposure" => Finding { source: Some("NIOSH Pocket Guide; OSHA 1910.1000".into()), ..finding },
            _ => finding,
        })
        .chain(plan.findings.clone())
        .collect(),
        room: RoomPart {
            temperature_c: 18.0,
            relative_humidity_pct: 65.0,
            dew_point_c: 11.3,
            volume_m3: Some(20.0),
            air_changes_per_h: Some(0.3),
        },
        air: Some(AirReview {
            index_15min: 14.2,
            index_short_term: 4.1,
            airflow_needed_m3_h: Some(190.0),
            verdict: Level::Care,
            index_8h: 1.04,
            index_unmasked_only: 0.7,
            room_index_peak: 3.9,
            lel_near_pct: 8.8,
            lel_room_pct: 4.1,
            clear_unmasked_min: Some(610),
            clear_others_min: None,
            purge_99_min: None,
            ventilation: Ventilation {
                m3_h: 6.0,
                low_m3_h: 4.0,
                source: "everything shut".into(),
                ..air().ventilation
            },
            ..air()
        }),
        ..plan
    }
}

/// A layer is still to be laid: no times, no coats.
pub(crate) fn hold_bare() -> Plan {
    let plan = go();
    Plan {
        verdict: Level::Hold,
        answer: "Not yet: the white gouache is still to be laid, and it must go on before the wax pencil".into(),
        findings: vec![
            Finding::new(
                "pair-avoid",
                Level::Hold,
                "White gouache will not hold on wax pencil: it beads and flakes",
                Basis::Practice,
            )
            .remedy("Lay the gouache before the wax pencil, or use a white acrylic pen instead")
            .layers([1, 2]),
        ],
        coats: vec![],
        handle_at: None,
        milestones: vec![],
        sealer_total_g: 0.0,
        can_share_pct: None,
        dry_film_total_um: None,
        air: None,
        ready_at: None,
        layers: vec![
            LayerReady { medium: "wax-pencil".into(), ready_at: plan.ready_at.clone(), level: Level::Go },
            LayerReady { medium: "white-gouache".into(), ready_at: None, level: Level::Hold },
        ],
        would_change: vec![Change {
            variable: "none".into(),
            from: None,
            to: None,
            level: Level::Hold,
            text: "Nothing in the room changes this; the order of the layers does".into(),
        }],
        why: vec![],
        ..plan
    }
}

/// Damp air: on hold, with the coats as they would be.
pub(crate) fn hold_with_coats() -> Plan {
    let plan = go();
    let mut first = mist();
    first.starts_at = Some("2026-11-30T10:30:00+01:00".into());
    first.recoat_by = Some("2026-11-30T11:30:00+01:00".into());
    first.wait_min = 240;
    Plan {
        verdict: Level::Hold,
        answer: "Wait until Monday 10:30: the watercolour is still damp, and at 78 % humidity the film would haze"
            .into(),
        findings: vec![
            Finding::new(
                "layer-wet",
                Level::Hold,
                "The watercolour has dried 6 h of the 24 h it needs",
                Basis::Practice,
            )
            .remedy("Leave the page lying until tomorrow, 12:00")
            .layers([2]),
            Finding::new(
                "humidity-high",
                Level::Hold,
                "The air is at 78 % humidity, over the 75 % to stop at",
                Basis::Choice,
            )
            .remedy("Warm the room to 23 °C (73 °F), or wait for drier air"),
            Finding::new(
                "slow-solvent",
                Level::Care,
                "The spirit-blended pencil may move under this sealer",
                Basis::Estimate,
            )
            .remedy("Make the scrap test first"),
        ],
        ready_at: Some("2026-11-29T12:00:00+01:00".into()),
        layers: vec![
            LayerReady { medium: "toner".into(), ready_at: plan.ready_at.clone(), level: Level::Go },
            LayerReady {
                medium: "watercolour".into(),
                ready_at: Some("2026-11-29T12:00:00+01:00".into()),
                level: Level::Hold,
            },
        ],
        coats: vec![first, build(2, "2026-11-30T14:30:00+01:00", 240), build(3, "2026-11-30T18:30:00+01:00", 1440)],
        handle_at: Some("2026-12-01T18:30:00+01:00".into()),
        milestones: vec![],
        ..plan
    }
}

/// Outdoors, temperature and humidity not known.
pub(crate) fn outdoors() -> Plan {
    let plan = care();
    Plan { room: RoomPart { volume_m3: None, air_changes_per_h: None, ..plan.room }, ..plan }
}

/// Dusting coats a day apart, then two builds.
pub(crate) fn dusting() -> Plan {
    let plan = go();
    let dusting = |number: usize| Coat {
        number,
        distance_cm: 50.0,
        pass_speed_cm_s: 60.0,
        wet_film_um: range(1.1, 1.8, 2.6),
        cap_um: 2.0,
        starts_at: Some(format!("2026-11-{}T18:05:00+01:00", 27 + number)),
        wait_min: 1440,
        ..if number % 2 == 1 { mist() } else { Coat { direction: Direction::Short, ..mist() } }
    };
    let mut coats: Vec<Coat> = (1..=3).map(dusting).collect();
    coats.push(Coat { wait_min: 150, ..build(4, "2026-12-01T18:05:00+01:00", 150) });
    coats.push(build(5, "2026-12-01T20:35:00+01:00", 2 * 1440 + 270));
    Plan { coats, ..plan }
}

/// A title that goes on and on.
pub(crate) fn long_title() -> Plan {
    let mut plan = go();
    plan.page.title = format!(
        "{}Donaudampfschifffahrtsgesellschaftskapitänsmütze{}",
        "The lantern carp at dusk, ".repeat(6),
        "漁火".repeat(40)
    );
    plan
}

/// Titles and names that try to move the cursor, recolour the screen, reverse the line or break it.
pub(crate) fn hostile() -> Plan {
    const BAD: &str = "\u{1b}[31mred\u{1b}[0m \u{202E}desrever\u{202C} a\nb\r\tc \u{7}\u{200B}\u{2028}end";
    let mut plan = care();
    plan.page.title = BAD.into();
    plan.sealer.name = BAD.into();
    plan.answer = format!("Seal {BAD}");
    plan.page.paper = BAD.into();
    plan.page.finish = Some(BAD.into());
    plan.findings[0].text = format!("Finding {BAD}");
    plan.findings[0].remedy = Some(BAD.into());
    plan.findings[0].source = Some(BAD.into());
    plan.cautions[0] = BAD.into();
    plan.coats[0].start_corner = BAD.into();
    plan.coats[0].limited_by = BAD.into();
    plan.coats[0].starts_at = Some(BAD.into());
    plan.coats[0].label_applied = vec![BAD.into()];
    plan.milestones[0].text = BAD.into();
    plan.runners_up[0].sealer = BAD.into();
    plan.preflight[0].text = BAD.into();
    plan.why[0].inputs = BAD.into();
    plan.layers[0].medium = BAD.into();
    plan.layers[0].level = Level::Care;
    if let Some(air) = &mut plan.air {
        air.ventilation.source = BAD.into();
        air.respirator.kind = BAD.into();
        air.solvents[0].limit_source = BAD.into();
    }
    plan
}

/// Every sample with its name.
pub(crate) fn all() -> Vec<(&'static str, Plan)> {
    vec![
        ("go", go()),
        ("care", care()),
        ("hold_bare", hold_bare()),
        ("hold_with_coats", hold_with_coats()),
        ("outdoors", outdoors()),
        ("dusting", dusting()),
        ("long_title", long_title()),
        ("hostile", hostile()),
    ]
}
