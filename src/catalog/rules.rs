//! Every threshold that decides, from `profiles/rules.toml`. The code has none of its own.

use super::figures::figure_table;

figure_table!(
    /// Layers against each other and against the paper.
    LayerRules {
        /// Water load above this many times the high buckling limit: avoid.
        water_avoid_times_high,
        /// Stated cover up to which water marker raises no care, share.
        rough_tooth_cover,
        /// Cover above which a layer counts as covering most of the page, share.
        broad_cover,
        /// Most layers that are ordered exactly.
        exact_order_layers,
    }
);

figure_table!(
    /// Ready or not.
    ReadyRules {
        /// Bow above which a sheet is not sprayed, mm.
        bow_hold_mm,
        /// Days during which heavy wax may still bloom.
        bloom_watch_days,
        /// Hours within which a wiped sheet is sprayed.
        bloom_wiped_within_h,
        /// Reference temperature of waits, °C.
        reference_temperature_c,
        /// Reference humidity of waits, share.
        reference_humidity,
        /// Smallest factor on a water medium's wait.
        water_wait_factor_min,
        /// Largest factor on a water medium's wait.
        water_wait_factor_max,
        /// Kelvin colder for a solvent medium to take twice as long.
        solvent_doubling_k,
        /// Touch-dry time of a wash as a multiple of the time its free water takes to leave the face: water in the
        /// fibres follows more slowly.
        bound_water_factor,
    }
);

figure_table!(
    /// The air at the bench.
    ConditionRules {
        /// Margin over the dew point below which care is due, K.
        margin_care_k,
        /// Margin over the dew point below which nothing is sprayed, K.
        margin_hold_k,
        /// Relative humidity above which care is due, share.
        humidity_care,
        /// Relative humidity above which nothing is sprayed, share.
        humidity_hold,
        /// Below: care, °C.
        cold_care_c,
        /// Above: care, °C.
        hot_care_c,
        /// Below: hold, °C.
        cold_hold_c,
        /// Above: hold, °C.
        hot_hold_c,
        /// Blush index above which a note is made, share.
        blush_note,
        /// Blush index above which care is due, share.
        blush_care,
        /// Blush index above which nothing is sprayed, share.
        blush_hold,
        /// Least film solids the index is taken over, g/m².
        blush_solids_floor_g_m2,
        /// Reference build, µm wet.
        blush_reference_um,
        /// Share of the solids arriving dry above which care is due on builds.
        dry_spray_care,
        /// Humidity assumed when unknown, share.
        unknown_humidity,
        /// Temperature assumed when unknown, °C.
        unknown_temperature_c,
        /// Wind above which spraying outdoors waits for another hour, m/s.
        wind_hold_m_s,
        /// Rain in an hour above which nothing is sprayed outdoors, mm.
        rain_hold_mm,
        /// Time by which an unheated room lags behind the weather, h.
        garage_lag_h,
    }
);

figure_table!(
    /// Sealer against media.
    FitRules {
        /// Boiling point from which a solvent counts as slow, °C.
        slow_boiling_c,
        /// Share of the landed liquid that may be slow, share.
        slow_share_care,
        /// Sensitivity from which slow liquid matters, 0 to 1.
        slow_sensitivity_care,
        /// Share of the paper's buckling limit that the water of one coat may reach.
        water_coat_share,
        /// Diffusivity of dissolved colour in a wet film, m²/s, for the ranking index only.
        bleed_diffusivity_m2_s,
        /// Bleed index wanted for line work, µm: the unit of the ranking.
        bleed_line_um,
        /// Bleed index from which a note names the medium, µm.
        bleed_note_um,
        /// Darkening from which a note is made, 0 to 1.
        darkening_note,
        /// Dulling from which a medium counts as one that sparkles, 0 to 1.
        dulling_from,
        /// Surface tension of burnished wax, mN/m.
        wax_surface_mn_m,
        /// Surface tension of burnished oil pencil, mN/m.
        oil_surface_mn_m,
        /// How much more a liquid's tension may be before it crawls, mN/m.
        crawl_margin_mn_m,
        /// Weight of one step of finish in the ranking.
        finish_step,
        /// Steps a film-builder is set back on loose work.
        loose_work_steps,
        /// Steps a yellowing sealer is set back.
        yellowing_steps,
        /// Steps a sealer with much of a substance that harms the unborn or the hearing is set back.
        hazard_steps,
    }
);

figure_table!(
    /// Coats: caps, mist, builds, waits.
    CoatRules {
        /// Share of a film that bled under a can which its medium is planned with afterwards.
        after_bleed_share,
        /// Cap after a film that held under a can, over that film.
        held_cap_factor,
        /// Factor on a layer's cap when it covers most of the page.
        broad_cap_factor,
        /// Factor on the ordinary cap for a heavy layer that covers most of the page.
        heavy_broad_factor,
        /// Factor on the cap on non-absorbing paper.
        non_absorbing_factor,
        /// Share of the pore capacity the first coat may fill.
        mist_capacity_share,
        /// Largest cap of a first coat, µm.
        mist_cap_um,
        /// Nearest distance of the first coat, cm.
        mist_distance_min_cm,
        /// Farthest distance of the first coat, cm.
        mist_distance_max_cm,
        /// Slowest first coat, m/s.
        mist_speed_min_m_s,
        /// Fastest first coat, m/s.
        mist_speed_max_m_s,
        /// Narrowest step-over of a mist, in sigma.
        mist_step_min_sigma,
        /// Widest step-over of a mist, in sigma.
        mist_step_max_sigma,
        /// Share of samples the solver keeps under the cap.
        under_cap_aim,
        /// Share of a fresh sample that must be under the cap.
        under_cap_fresh,
        /// Cap from which one mist is enough, µm.
        one_mist_cap_um,
        /// Wet film that dusting coats add up to, µm.
        dusting_total_um,
        /// Most dusting coats.
        dusting_coats_max,
        /// Nearest build, cm.
        build_distance_min_cm,
        /// Farthest build where nothing asks for more, cm.
        build_distance_max_cm,
        /// Slowest build, m/s.
        build_speed_min_m_s,
        /// Fastest ordinary build, m/s.
        build_speed_max_m_s,
        /// Fastest build at all, m/s.
        build_speed_limit_m_s,
        /// Median wet film a build aims at, µm.
        build_median_um,
        /// Share of the pore capacity a build may fill.
        build_capacity_share,
        /// Largest wet film lying, µm.
        build_lying_um,
        /// Largest wet film standing, µm.
        build_standing_um,
        /// Share of samples that keep under the build limit.
        build_under_limit,
        /// Ordinary number of builds.
        builds,
        /// Builds for gloss on smooth stock.
        builds_gloss_smooth,
        /// Tooth up to which stock is smooth, µm.
        smooth_tooth_um,
        /// Narrowest step-over of a build, in sigma.
        build_step_min_sigma,
        /// Widest step-over of a build, in sigma.
        build_step_max_sigma,
        /// Dry film over tooth depth from which a sheet can look glossy.
        gloss_tooth_share,
        /// Dry film over tooth depth below which the paper's own matte shows through.
        satin_tooth_share,
        /// Nearest build on paper that strikes through, or with a very low cap, cm.
        careful_build_distance_cm,
        /// Cap below which builds keep their distance, µm.
        careful_cap_um,
        /// Distance of builds over glitter, cm.
        glitter_distance_cm,
        /// Overrun beyond the sheet besides two sigma, cm.
        overrun_cm,
        /// Factor on the median modelled handle time.
        wait_factor,
        /// Waits are rounded up to this, min.
        wait_step_min,
        /// Floor of the wait for fixatives, min.
        floor_fixative_min,
        /// Floor for acrylics, min.
        floor_acrylic_min,
        /// Floor for spirit acrylics with or without absorber, min.
        floor_acrylic_spirit_min,
        /// Floor for nitro lacquer, min.
        floor_nitro_min,
        /// Floor for casein, min.
        floor_casein_min,
        /// Floor for water-borne, min.
        floor_water_borne_min,
        /// Floor for ketone varnish, min.
        floor_ketone_min,
        /// Floor for dammar varnish, min.
        floor_dammar_min,
        /// Margin of the glass transition at touch-dry, K.
        touch_margin_k,
        /// Margin of the glass transition when it can be handled, K.
        handle_margin_k,
        /// Temperature at which those margins are taken, °C.
        margin_reference_c,
    }
);

figure_table!(
    /// The air a person breathes.
    AirRules {
        /// Radius of the near field, m.
        near_field_radius_m,
        /// Random air speed indoors, m/min.
        random_air_speed_m_min,
        /// The same with a window open or a fan, m/min.
        random_air_speed_open_m_min,
        /// Mixing factor of the room.
        mixing_factor,
        /// 8-hour limit where none is known, ppm.
        unknown_limit_ppm,
        /// Short-term limit as a multiple of the 8-hour one where none is published.
        short_term_multiple,
        /// Boiling point up to which a mask does not hold a vapour, °C.
        not_held_boiling_c,
        /// Near-field share of the explosive limit: care.
        near_lel_care,
        /// Near-field share of the explosive limit: hold.
        near_lel_hold,
        /// Room share of the explosive limit: care.
        room_lel_care,
        /// Room share of the explosive limit: hold.
        room_lel_hold,
        /// Share of the lowest explosive limit that caps any substance in the near field.
        idlh_lel_share,
        /// Any index: care.
        index_care,
        /// Index of what a mask does not hold: hold.
        unmasked_hold,
        /// Index behind the recommended mask: hold.
        masked_hold,
        /// Share of the can from which a flagged substance is a care.
        hazard_share_care,
        /// The same for substances known to harm the unborn.
        hazard_share_care_repro1,
        /// Protection factor of the recommended half mask.
        half_mask_factor,
        /// Share of the explosive limit below which a masked person may return.
        return_lel,
        /// Least wait before returning, min.
        return_floor_min,
        /// Share of the limits below which others may return.
        others_share,
        /// Longest wait that is still an answer, h.
        longest_wait_h,
        /// Share removed by the purge at the end of a session.
        purge_removal,
        /// Room volume assumed when none is given, m³.
        unknown_room_m3,
        /// Wind outdoors when none is given, m/s.
        unknown_wind_m_s,
        /// Distance within which an ignition source counts, m.
        ignition_distance_m,
        /// Share of a fan's rating with a sealed surround and an open inlet.
        fan_sealed_share,
        /// Share of a fan's rating without a sealed surround.
        fan_unsealed_share,
        /// Share of a fan's rating without a make-up opening.
        fan_no_inlet_share,
        /// Air changes, closed, /h.
        closed_per_h,
        /// Air changes, window ajar, /h.
        window_ajar_per_h,
        /// Air changes, window open, /h.
        window_open_per_h,
        /// Air changes, cross draught, /h.
        cross_draught_per_h,
        /// Flow of a window fan without figures, m³/h.
        window_fan_m3_h,
        /// Speed at which a household fan draws air through an opening, m/s.
        opening_speed_m_s,
        /// Difference of the wind-pressure coefficients across a cross draught.
        cross_pressure_difference,
        /// Most air worth naming as the remedy of a room; beyond it only the open air is named, m³/h.
        airflow_most_m3_h,
        /// Widest opening worth naming as the remedy of a room, m².
        opening_most_m2,
        /// Cross-section of the open air around a bench, m².
        outdoor_cross_section_m2,
        /// Depth of that box of air along the wind, m.
        outdoor_depth_m,
        /// Wind from which mist is blown off the sheet, m/s.
        brisk_wind_m_s,
        /// Mist at the face from which it is a care, mg/m³ over 8 hours.
        mist_mg_m3,
        /// Life of an organic-vapour cartridge at `cartridge_base_ppm`, h.
        cartridge_base_h,
        /// Concentration at which a cartridge lasts `cartridge_base_h`, ppm.
        cartridge_base_ppm,
        /// Longest life credited to a cartridge, h.
        cartridge_longest_h,
        /// Concentration above which organic-vapour cartridges are not approved, ppm.
        cartridge_cap_ppm,
        /// Boiling point below which the rule of thumb for cartridge life does not hold, °C.
        cartridge_boiling_c,
    }
);

figure_table!(
    /// Ringing during a run.
    BellRules {
        /// Minutes before the first coat at which the pre-flight list is gone through.
        prepare_min,
        /// Minutes after its time from which a coat counts as late and the rest is planned anew, min.
        late_min,
        /// Warning before a recoat window closes, min.
        window_warning_min,
        /// First reminder of an overdue coat, min after it should have been sprayed.
        overdue_first_min,
        /// Each further reminder comes after so many times the wait before.
        overdue_growth,
        /// Longest time between two reminders of an overdue coat, min.
        overdue_longest_min,
        /// Reminders of one overdue coat at most.
        overdue_most,
        /// A reminder later than that says how late it is, s.
        say_late_s,
        /// A clock that differs from the steady one by more was set, s.
        clock_step_s,
        /// Time a notification service has to answer, s.
        service_s,
        /// Extra wait after blushing, min.
        blush_wait_min,
        /// Extra wait after a drip, a pool or bleeding, as a multiple of the planned wait.
        mishap_wait_factor,
    }
);

figure_table!(
    /// After the last coat.
    AfterRules {
        /// Least time before edges may be touched, min.
        handle_floor_min,
        /// Scan on glass or photograph, h.
        scan_h,
        /// Interleave and stack, h.
        stack_h,
        /// The same for gloss or wax-rich pages, h.
        stack_gloss_or_wax_h,
        /// Frame with a spacer, h.
        frame_h,
        /// Frame closed or without a spacer, h.
        frame_closed_h,
        /// Post, h.
        post_h,
    }
);

figure_table!(
    /// Many pages at one bench.
    BatchRules {
        /// Time is counted in whole ticks of this length, s.
        tick_s,
        /// Taking a sheet from the rack, laying it, shaking the can and putting the sheet back, min a coat.
        handling_min,
        /// Changing to another can, min, where the file does not say.
        can_change_min,
    }
);

/// Every threshold, by chapter.
#[derive(Debug, Clone, PartialEq)]
pub struct Rules {
    /// Layers.
    pub layers: LayerRules,
    /// Readiness.
    pub ready: ReadyRules,
    /// Conditions.
    pub conditions: ConditionRules,
    /// Fit.
    pub fit: FitRules,
    /// Coats.
    pub coats: CoatRules,
    /// Air.
    pub air: AirRules,
    /// After the last coat.
    pub after: AfterRules,
    /// Many pages at one bench.
    pub batch: BatchRules,
    /// Ringing during a run.
    pub bell: BellRules,
}

impl Rules {
    /// Reads `rules.toml`.
    pub(crate) fn read(root: &crate::input::TableReader<'_>) -> Option<Self> {
        macro_rules! section {
            ($key:literal, $type:ident) => {{
                root.require($key, "{ … }");
                root.table($key).and_then(|reader| {
                    let rules = $type::read(&reader);
                    reader.finish();
                    rules
                })
            }};
        }
        let layers = section!("layers", LayerRules);
        let ready = section!("ready", ReadyRules);
        let conditions = section!("conditions", ConditionRules);
        let fit = section!("fit", FitRules);
        let coats = section!("coats", CoatRules);
        let air = section!("air", AirRules);
        let after = section!("after", AfterRules);
        let batch = section!("batch", BatchRules);
        let bell = section!("bell", BellRules);
        Some(Self {
            layers: layers?,
            ready: ready?,
            conditions: conditions?,
            fit: fit?,
            coats: coats?,
            air: air?,
            after: after?,
            batch: batch?,
            bell: bell?,
        })
    }

    /// Every rule with its dotted name.
    pub fn all(&self) -> Vec<(String, &super::Figure)> {
        let chapters = [
            ("layers", self.layers.all()),
            ("ready", self.ready.all()),
            ("conditions", self.conditions.all()),
            ("fit", self.fit.all()),
            ("coats", self.coats.all()),
            ("air", self.air.all()),
            ("after", self.after.all()),
            ("batch", self.batch.all()),
            ("bell", self.bell.all()),
        ];
        chapters
            .into_iter()
            .flat_map(|(chapter, figures)| {
                figures.into_iter().map(move |(name, figure)| (format!("{chapter}.{name}"), figure))
            })
            .collect()
    }
}
