# What the pictograms of cautions stand for: the Globally Harmonised System, then ISO 7010.

sign-GHS02 = Flammable
sign-GHS03 = Feeds fire
sign-GHS04 = Gas under pressure
sign-GHS05 = Corrosive
sign-GHS06 = Toxic
sign-GHS07 = Harmful, irritant
sign-GHS09 = Harms water life
sign-W001 = Danger
sign-W002 = Explosive
sign-W008 = Fall
sign-W011 = Slippery floor
sign-W012 = Electricity
sign-W014 = Forklift
sign-W017 = Hot
sign-W022 = Sharp edges
sign-W024 = Crushed hands
sign-W029 = Gas cylinder
sign-W038 = Loud noise
sign-W041 = Air that suffocates
sign-M003 = Wear ear protection
sign-M004 = Wear goggles
sign-M008 = Wear safety boots
sign-M009 = Wear gauntlets
sign-P003 = No flame, no spark, no smoking
sign-P004 = Do not enter
