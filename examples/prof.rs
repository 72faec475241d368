//! x
use coatbell::catalog::Catalog; use coatbell::diagnostic::SourceText; use coatbell::input::*; use coatbell::page::Sheet; use coatbell::plan::*; use std::time::Instant;
fn main(){
 let t=Instant::now(); let c=Catalog::builtin(); eprintln!("catalog {:?}",t.elapsed());
 let now: jiff::ZonedDateTime="2026-11-25T18:00:00+00:00[UTC]".parse().unwrap();
 let text=std::fs::read_to_string("/work/shared/reference/pages/reference-page.toml").unwrap();
 let src=SourceText::new("p",&text); let t=Instant::now(); let p=read_page(&src,&now).unwrap(); let sheet=Sheet::resolve(&p,&src,&c).unwrap(); eprintln!("page {:?}",t.elapsed());
 let room=read_room(&SourceText::new("r",&std::fs::read_to_string("/tmp/refroom.toml").unwrap())).unwrap();
 for _ in 0..3 { let t=Instant::now();
 let r=Request{sheet:&sheet,sealer:None,room:Some(&room),room_named:true,respirator:None,start:&now,now:&now,seed:1,why:false}; let pl=make(&r,&c); eprintln!("make {:?}",t.elapsed());
 let t=Instant::now(); let s=coatbell::report::plan_json(&pl); eprintln!("json {:?} {}",t.elapsed(),s.len()); }
 let t=Instant::now(); let air=coatbell::vapour::MoistAir{temperature_c:21.,relative_humidity:0.48,pressure_pa:101325.}; let r=coatbell::page::review(&sheet,&c,&air,&now); eprintln!("review {:?} {}",t.elapsed(),r.pairs.len());
 let t=Instant::now(); let cp=coatbell::solve::plan_coats(&sheet,&c.sealers["acrylic-satin"],&air,&c,1); eprintln!("coats {:?} {}",t.elapsed(),cp.coats.len());
}
